/** Words and answers of the transport question. The values are the backend's; the words stand here once. */
import type { TransportCarrier, TransportCode, TransportMode, TransportRegime } from '../../backend/generated'
import type { Option } from '../../parts/types'

interface Said<Value extends string> extends Option {
  value: Value
}

export const modes: Said<TransportMode>[] = [
  { value: 'GROUND', words: 'by road' },
  { value: 'POST_DOMESTIC', words: 'post, inside the country' },
  { value: 'POST_INTL', words: 'post, abroad' },
  { value: 'AIR_CARGO', words: 'cargo aircraft' },
  { value: 'AIR_PAX', words: 'passenger aircraft' },
]

export const regimes: Said<TransportRegime>[] = [
  { value: 'ADR', words: 'European road (ADR)' },
  { value: 'US_HMR', words: 'United States (49 CFR)' },
]

export const carriers: Said<TransportCarrier>[] = [
  { value: 'none', words: 'not chosen' },
  { value: 'UPS', words: 'UPS' },
  { value: 'FEDEX', words: 'FedEx' },
  { value: 'USPS', words: 'USPS' },
  { value: 'ROYAL_MAIL', words: 'Royal Mail' },
  { value: 'other', words: 'another' },
]

/** The shape that stands beside the verdict's words: meaning is never colour alone. */
export const shape: Record<TransportCode, string> = { ORDINARY: '○', MARKED: '◑', DDR_GROUND: '◧', HOLD: '◼', FORBIDDEN: '◆' }

export const yesNo = (answer: boolean | null): string => (answer === null ? '' : answer ? 'yes' : 'no')

export const answerOf = (typed: string): boolean | null => (typed === 'yes' ? true : typed === 'no' ? false : null)

/** Whole percent as typed; nothing typed is not known. */
export const percent = (typed: string): number | null => (typed.trim() === '' ? null : Number(typed.trim()))
