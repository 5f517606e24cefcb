/** What a scan means while a parcel is being packed. */
import type { Missing, ScanAnswer } from '../../backend/generated'

/** A scan that was refused at the box, and why. */
export interface Refused {
  scanned: string
  words: string
  missing: Missing[]
}

/** A text that names a parcel or a page, not a device: it goes where it always goes. Everything else is checked into the box. */
export function isOfAnotherPlace(text: string): boolean {
  return /^WB:(?!J:)[A-Z]+:/i.test(text.trim())
}

/** Something here that is no device, such as a shop's name: it goes where it always goes, and is no mistake at the box. */
export function isOtherThing({ matches }: Pick<ScanAnswer, 'matches'>): boolean {
  return matches.length > 0 && matches.every(({ target }) => target.kind !== 'job')
}

/** What was refused at the box stays in sight until someone says it was put aside; the same text once only, the latest first. */
export function refusedWith(kept: Refused[], next: Refused): Refused[] {
  return [next, ...kept.filter(({ scanned }) => scanned !== next.scanned)]
}

/** A carrier's label that nothing here bears yet: the tracking number of the parcel that is being packed. */
export function isCarriersLabel({ matches, offer_take_in }: Pick<ScanAnswer, 'matches' | 'offer_take_in'>): boolean {
  return matches.length === 0 && offer_take_in
}
