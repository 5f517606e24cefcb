/** The lab's description as it stands in a form, and back. */
import { BackendError } from '../../backend'
import type { LabDescription } from '../../backend/generated'

export interface TypedLab {
  name: string
  address: string
  country: string
  phone: string
  email: string
  zone: string
  currency: string
  warranty_days: string
}

/** The fields that show their own errors. */
export const labFields = ['name', 'address_lines', 'country', 'phone', 'email', 'zone', 'currency', 'warranty_days']

export function emptyLab(zone: string): TypedLab {
  return { name: '', address: '', country: '', phone: '', email: '', zone, currency: '', warranty_days: '90' }
}

export function labInForm(lab: LabDescription): TypedLab {
  const { address_lines, warranty_days, ...rest } = lab
  return { ...rest, address: address_lines.join('\n'), warranty_days: String(warranty_days) }
}

/** Reads the form; throws what is wrong with a field, as the backend would. */
export function typedLab({ address, warranty_days, ...rest }: TypedLab): LabDescription {
  const days = warranty_days.trim()
  if (!/^\d{1,5}$/.test(days) || Number(days) > 65_535) {
    throw new BackendError({ code: 'field', field: 'warranty_days', message: `“${days}” is no number of days; write a whole number, 0 for no warranty.` })
  }
  return {
    ...rest,
    country: rest.country.trim().toUpperCase(),
    currency: rest.currency.trim().toUpperCase(),
    zone: rest.zone.trim(),
    address_lines: lines(address),
    warranty_days: Number(days),
  }
}

/** The lines of an address, without empty ones. */
export function lines(text: string): string[] {
  return text.split('\n').map((line) => line.trim()).filter(Boolean)
}
