/** What a scan means while a parcel is being packed. */
import type { ScanAnswer } from '../../backend/generated'

/** A text that names a parcel or a page, not a device: it goes where it always goes. Everything else is checked into the box. */
export function isOfAnotherPlace(text: string): boolean {
  return /^WB:(?!J:)[A-Z]+:/i.test(text.trim())
}

/** A carrier's label that nothing here bears yet: the tracking number of the parcel that is being packed. */
export function isCarriersLabel({ matches, offer_take_in }: Pick<ScanAnswer, 'matches' | 'offer_take_in'>): boolean {
  return matches.length === 0 && offer_take_in
}
