/**
 * Money and readings, written for people and read from what they type. Digits are moved, never computed with:
 * sums, taxes and limits are the domain's.
 */

/**
 * Digits of the minor unit by ISO 4217 (list one, 2024), where they are not two. What `Intl` gives is how prices are usually
 * rounded, which differs for a dozen currencies, such as the Hungarian forint: an amount read by it would be a hundred times too large.
 */
const minorDigits: Record<string, number> = {
  BIF: 0, CLP: 0, DJF: 0, GNF: 0, ISK: 0, JPY: 0, KMF: 0, KRW: 0, PYG: 0, RWF: 0, UGX: 0, UYI: 0, VND: 0, VUV: 0, XAF: 0, XOF: 0, XPF: 0,
  BHD: 3, IQD: 3, JOD: 3, KWD: 3, LYD: 3, OMR: 3, TND: 3,
  CLF: 4, UYW: 4,
}

function digitsOf(currency: string): number {
  return minorDigits[currency] ?? 2
}

/** Puts the decimal point into minor units: 12990 with 2 digits is `129.90`. */
function placed(minor: number, digits: number): string {
  const sign = minor < 0 ? '-' : ''
  const text = String(Math.abs(minor)).padStart(digits + 1, '0')
  return digits === 0 ? sign + text : `${sign}${text.slice(0, -digits)}.${text.slice(-digits)}`
}

/** An amount in minor units of an ISO 4217 currency, in the lab's way of writing. Currency and number stay on one line. */
export function money(minor: number, currency: string, tag: string): string {
  // A string goes through Intl digit by digit, without binary fractions.
  const formatter = new Intl.NumberFormat(tag, { style: 'currency', currency, currencyDisplay: 'code', minimumFractionDigits: digitsOf(currency), maximumFractionDigits: digitsOf(currency) })
  return formatter.format(placed(minor, digitsOf(currency)) as unknown as number)
}

/** An amount in minor units as a person types it, without its currency: `129.90`. */
export function typedAmount(minor: number, currency: string): string {
  return placed(minor, digitsOf(currency))
}

export type Read<Value> = { ok: true; value: Value } | { ok: false; error: string }

/** Reads a decimal number as people type it, with point or comma; gives it with a point, digits untouched. */
export function readDecimal(typed: string): Read<string> {
  const text = typed.trim().replace(/[\u2212\u2013]/g, '-').replace(/[\s\u00a0\u202f']/g, '')
  const parts = /^([+-]?)(\d*)(?:[.,](\d*))?$/.exec(text)
  const [, sign = '', whole = '', fraction = ''] = parts ?? []
  if (!parts || whole + fraction === '') {
    const twice = (text.match(/[.,]/g) ?? []).length > 1
    return { ok: false, error: twice ? 'Write one decimal sign only, such as 1250.5 or 1250,5.' : 'Write a number, such as 3.82 or 3,82.' }
  }
  const value = `${sign === '-' ? '-' : ''}${whole === '' ? '0' : whole}${fraction === '' ? '' : `.${fraction}`}`
  return { ok: true, value }
}

/** Reads an amount of money into minor units. */
export function readMoney(typed: string, currency: string): Read<number> {
  const decimal = readDecimal(typed)
  if (!decimal.ok) return { ok: false, error: `Write an amount in ${currency}, such as ${placed(12990, digitsOf(currency))}.` }
  const digits = digitsOf(currency)
  const [whole = '0', fraction = ''] = decimal.value.split('.')
  if (fraction.length > digits && /[1-9]/.test(fraction.slice(digits))) {
    return { ok: false, error: digits === 0 ? `${currency} has no smaller unit: write a whole amount.` : `${currency} has ${digits} decimal places: write ${whole}.${fraction.slice(0, digits)}.` }
  }
  const minor = Number(whole + fraction.slice(0, digits).padEnd(digits, '0'))
  if (!Number.isSafeInteger(minor)) return { ok: false, error: 'This amount is too large. Check for a digit too many.' }
  return { ok: true, value: minor }
}

/** A count in the lab's way of writing: `12,400`. */
export function count(value: number, tag: string): string {
  return new Intl.NumberFormat(tag, { maximumFractionDigits: 0 }).format(value)
}
