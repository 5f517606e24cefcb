/** Words and answers of the transport question. The values are the backend's; the words stand here once. */
import type { ParcelPaper, ParcelPaperKind, TransportCarrier, TransportCode, TransportMode, TransportPlan, TransportRegime, TransportVerdict } from '../../backend/generated'
import type { Option } from '../../parts/types'
import { certainty, many, sentence } from '../../say/words'

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

/** "by road, European road (ADR), UPS, 1 package": what a verdict was given for. */
export function planWords({ mode, regime, carrier, packages }: TransportPlan): string {
  const said = <Value extends string>(all: Said<Value>[], value: Value) => all.find((each) => each.value === value)?.words ?? value
  return [said(modes, mode), said(regimes, regime), carrier === 'none' ? 'carrier not chosen' : carrier === 'other' ? 'another carrier' : said(carriers, carrier), many(packages, 'package')].join(', ')
}

/** Whether two ways of saying how a parcel goes are the same. */
export function samePlan(one: TransportPlan, other: TransportPlan): boolean {
  return (Object.keys(one) as (keyof TransportPlan)[]).every((key) => one[key] === other[key])
}

/** The shape that stands beside the verdict's words: meaning is never colour alone. */
export const shape: Record<TransportCode, string> = { ORDINARY: '○', MARKED: '◑', DDR_GROUND: '◧', HOLD: '◼', FORBIDDEN: '◆' }

export const yesNo = (answer: boolean | null): string => (answer === null ? '' : answer ? 'yes' : 'no')

export const answerOf = (typed: string): boolean | null => (typed === 'yes' ? true : typed === 'no' ? false : null)

/** Whole percent as typed; nothing typed is not known. */
export const percent = (typed: string): number | null => (typed.trim() === '' ? null : Number(typed.trim()))

/** What a paper is, and what it is for. */
export const paperWords: Record<ParcelPaperKind, { name: string; purpose: string }> = {
  packing_instruction: { name: 'Packing instruction', purpose: 'For whoever packs: the steps in order, the verdict, and every rule behind it. Sign it and keep it.' },
  battery_mark: { name: 'Battery mark', purpose: 'Cut it out and stick it on one side of the package, flat, not over an edge. Print it in colour: its hatching is red.' },
  words: { name: 'Words for the outside', purpose: 'Cut them out and stick them on the outside, where the sheet says; nothing may cover them.' },
  waybill_sentence: { name: 'Air waybill sentence', purpose: 'Copied word for word into the air waybill, and signed by the shipper.' },
}

/** "1 copy, with 3 marks" or "3 copies, one for each package". */
export function copiesOf({ kind, copies, pieces }: Pick<ParcelPaper, 'kind' | 'copies' | 'pieces'>): string {
  const times = many(copies, 'copy', 'copies')
  if (kind === 'battery_mark') return `${times}, with ${many(pieces, 'mark')}${copies > 1 ? ' each' : ''}: one for each package`
  return kind === 'words' && copies > 1 ? `${times}: one for each package` : times
}

export function sizeOf({ true_size }: Pick<ParcelPaper, 'true_size'>): string {
  return true_size ? 'Print at 100 %, no scaling; then measure its line of 100 mm.' : 'Any size that can be read.'
}

/** Something that is not known; for a rule that was not read in its own text, its words, and what they rest on. */
export interface NotKnown {
  text: string
  note: string
}

/** The backend names such rules by their id, which is no help to a person; here stand their words, as among the rules. */
export function notKnown({ unknowns, rules }: Pick<TransportVerdict, 'unknowns' | 'rules'>): NotKnown[] {
  const ofTheParcel = unknowns.filter((line) => !rules.some(({ id }) => line.startsWith(`${id} (`)))
  return [
    ...ofTheParcel.map((line) => ({ text: sentence(line), note: '' })),
    ...rules.filter((rule) => rule.certainty !== 'primary')
      .map((rule) => ({ text: sentence(rule.text), note: `${rule.clause}: ${certainty[rule.certainty]}. ${rule.id}` })),
  ]
}
