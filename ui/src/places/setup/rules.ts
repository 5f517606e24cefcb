/** Words of the rule book. */
import type { BookRow, BookRowKind, RuleBody } from '../../backend/generated'

export const bodies: Record<RuleBody, string> = {
  US_HMR: 'United States (49 CFR)',
  ADR: 'European road (ADR)',
  AIR: 'air (ICAO, IATA)',
  USPS: 'USPS',
  POST: 'posts abroad',
  CARRIER: 'a carrier’s terms',
  BENCH: 'the bench',
  ANY: 'everywhere',
}

export const kinds: Record<BookRowKind, string> = { edition: 'edition', limit: 'limit', rule: 'transport rule', bench: 'bench rule', caution: 'caution' }

/** The units that a row counts in, as they are written. */
export const units: Record<string, string> = {
  g: 'g', ug: 'µg', mah: 'mAh', mm: 'mm', mv: 'mV', uwh: 'µWh', tenths_c: 'tenths of a °C', minutes: 'minutes', percent: 'percent', pieces: 'pieces', wh_per_kg: 'Wh per kg',
}

/** What tells one row from every other. */
export const rowKey = ({ id, regime, effective_from }: BookRow): string => `${id}~${regime}~${effective_from}`
