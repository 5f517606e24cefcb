/** Measured values in words. Digits are moved, never computed with: limits and verdicts are the domain's. */
import type { AdvisedBattery, BoardReading, Limits, MarkedResult, Outcome, Reading, Unit } from '../backend/generated'
import { verdict } from './words'

/** Symbols of the International System of Units (SI Brochure, 9th edition), or the usual sign. */
export const symbols: Record<Unit, string> = { volt: 'V', ampere: 'A', watt: 'W', ohm: 'Ω', second: 's', celsius: '°C', percent: '%', decibel_milliwatt: 'dBm', count: '' }

/** Millionths as a decimal number with a point, without trailing zeros. */
export function decimal(micro: number): string {
  const digits = String(Math.abs(micro)).padStart(7, '0')
  const fraction = digits.slice(-6).replace(/0+$/, '')
  return `${micro < 0 ? '−' : ''}${digits.slice(0, -6)}${fraction === '' ? '' : `.${fraction}`}`
}

const withUnit = (number: string, unit: Unit) => (symbols[unit] === '' ? number : `${number} ${symbols[unit]}`)

/** "0.94 A". */
export function readingWords({ micro, unit }: Reading): string {
  return withUnit(decimal(micro), unit)
}

/** "± 0.02 A", or nothing. Said with two digits, rounded up as papers say it; what is kept has all its digits. */
export function uncertaintyWords({ uncertainty_micro, unit }: Reading): string {
  if (uncertainty_micro === null) return ''
  const step = 10 ** Math.max(0, String(uncertainty_micro).length - 2)
  return `± ${withUnit(decimal(Math.ceil(uncertainty_micro / step) * step), unit)}`
}

/** "limit 0.8 to 1.1 A", or nothing where there is none. */
export function limitsWords({ low_micro, high_micro }: Limits, unit: Unit): string {
  if (low_micro !== null && high_micro !== null) return `limit ${decimal(low_micro)} to ${withUnit(decimal(high_micro), unit)}`
  if (low_micro !== null) return `limit ${withUnit(decimal(low_micro), unit)} or more`
  if (high_micro !== null) return `limit ${withUnit(decimal(high_micro), unit)} or less`
  return ''
}

/** What a result measured, or which answer was chosen; nothing where it only passed or failed. */
export function outcomeReading(outcome: Outcome): string | null {
  if (outcome.kind === 'choice') return outcome.words
  return outcome.kind === 'reading' ? readingWords(outcome.reading) : null
}

/** "pass, 0.94 A ± 0.02 A". */
export function resultWords({ verdict: code, result: { outcome } }: MarkedResult): string {
  const parts = [verdict[code], outcome.kind === 'reading' ? `${readingWords(outcome.reading)} ${uncertaintyWords(outcome.reading)}`.trim() : outcomeReading(outcome)]
  return [...parts, outcome.kind === 'not_testable' ? outcome.why : ''].filter(Boolean).join(', ')
}

/** Nanoamperes as they are read: "1.9 A", "120 mA", "35 µA". Shown, never computed with. */
export function currentWords(nano: number): string {
  const size = Math.abs(nano)
  if (size >= 1e9) return `${(nano / 1e9).toFixed(2)} A`
  return size >= 1e6 ? `${(nano / 1e6).toFixed(size >= 1e8 ? 0 : 1)} mA` : `${(nano / 1e3).toFixed(0)} µA`
}

/** Microseconds as seconds or minutes: "38.0 s", "2 min 05 s". */
export function spanWords(micro: number): string {
  const tenths = Math.round(micro / 1e5)
  return tenths < 1200 ? `${(tenths / 10).toFixed(1)} s` : `${Math.floor(tenths / 600)} min ${String(Math.round((tenths % 600) / 10)).padStart(2, '0')} s`
}

/** Nanoampere-hours as milliampere-hours: "3.42 mAh". */
export const chargeWords = (nano: number) => `${(nano / 1e6).toFixed(Math.abs(nano) < 1e7 ? 3 : 1)} mAh`

/** "U2401 VBUS: 0.4 V, should be 5 V". */
export function boardReadingWords({ point, measured, expected }: BoardReading): string {
  return `${point}: ${readingWords(measured)}${expected === '' ? '' : `, should be ${expected}`}`
}

/** Milliseconds of a stopwatch as the seconds that are typed: "21.4". */
export function seconds(elapsed_ms: number): string {
  return (Math.round(elapsed_ms / 100) / 10).toFixed(1)
}

/** Thousandths or tenths of a cell's reading: 3820 mV is "3.82 V", 224 tenths of a degree are "22.4 °C". */
export const volts = (mv: number) => readingWords({ micro: mv * 1000, unit: 'volt', uncertainty_micro: null })
/** Always with its tenths, so that a column of them can be read down. */
export const degrees = (tenths: number) => `${tenths < 0 ? '−' : ''}${String(Math.abs(tenths)).padStart(2, '0').replace(/.$/, '.$&')} °C`
export const watt_hours = (uwh: number) => `${decimal(uwh)} Wh`

/** Bytes as people say them: "240 KB", "3.1 MB". */
export function bytes(count: number): string {
  if (count < 1000) return `${count} B`
  const [value, unit] = count < 1e6 ? [count / 1e3, 'KB'] : count < 1e9 ? [count / 1e6, 'MB'] : [count / 1e9, 'GB']
  return `${value < 10 ? value.toFixed(1) : Math.round(value)} ${unit}`
}

/** What a shop read of a battery's rating: "17.3 Wh", "3.85 V, 4500 mAh, one cell"; nothing where it said nothing. */
export function advisedBattery(battery: AdvisedBattery | undefined): string {
  if (!battery) return ''
  const { rating, cells } = battery
  return [
    rating.label_uwh === null ? '' : watt_hours(rating.label_uwh),
    rating.nominal_mv === null ? '' : volts(rating.nominal_mv),
    rating.capacity_mah === null ? '' : `${rating.capacity_mah} mAh`,
    cells === null ? '' : cells === 'one' ? 'one cell' : 'two cells or more',
  ].filter(Boolean).join(', ')
}
