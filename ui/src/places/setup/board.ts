/** A board's knowledge in its forms. Digits are moved, never computed with. */

/** Micrometres as typed millimetres: 900 is "0.9". Nothing for what is not known. */
export function millimetres(um: number | null | undefined): string {
  if (um === null || um === undefined) return ''
  const digits = String(um).padStart(4, '0')
  const fraction = digits.slice(-3).replace(/0+$/, '')
  return `${digits.slice(0, -3)}${fraction === '' ? '' : `.${fraction}`}`
}
