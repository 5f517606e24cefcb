/** A shop's description as it stands in a form, and back. */
import type { SaveShop, ShopView } from '../../backend/generated'
import { lines } from '../setup/lab-form'

export interface TypedShop {
  name: string
  address: string
  country: string
  phone: string
  email: string
  currency: string
  standing_limit: string
}

/** The fields that show their own errors. */
export const shopFields = ['name', 'address_lines', 'country', 'phone', 'email', 'currency', 'standing_limit']

export function emptyShop(currency: string): TypedShop {
  return { name: '', address: '', country: '', phone: '', email: '', currency, standing_limit: '' }
}

/** The form of a shop that is known. `limit` is its standing limit as a person types it. */
export function shopInForm(view: ShopView, limit: string): TypedShop {
  const known = view.shop.description.heads[0]?.value
  if (!known) return emptyShop(view.brief.currency)
  const { address_lines, ...rest } = known
  return { ...rest, address: address_lines.join('\n'), standing_limit: limit }
}

export function typedShop(shop_id: string | null, { address, standing_limit, ...rest }: TypedShop): SaveShop {
  return { shop_id, description: { ...rest, address_lines: lines(address) }, standing_limit }
}
