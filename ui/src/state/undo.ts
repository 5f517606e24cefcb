/** From what an action added to a trail to the way back: a correction that takes those entries back. Nothing is deleted. */
import { withdraw, type Subject, type TrailLine } from '../backend/generated'

/** The reason that is recorded when a person takes back what they have just done. */
const REASON = 'Taken back right after it was recorded.'

/** The entries one person's action added, the latest first: the order in which they are taken back. */
export function added(before: TrailLine[], after: TrailLine[], actor_id: string | undefined): string[] {
  const known = new Set(before.map(({ mark }) => mark.entry_id))
  return after.filter(({ mark, withdrawn }) => !withdrawn && !known.has(mark.entry_id) && mark.actor_id === actor_id).map(({ mark }) => mark.entry_id).reverse()
}

/** The step back from an action, or nothing when it added no entry. */
export function undoOf(subject: Subject, entry_ids: string[], then: () => Promise<void>): (() => Promise<void>) | undefined {
  if (entry_ids.length === 0) return undefined
  return async () => {
    for (const entry_id of entry_ids) await withdraw({ subject, entry_id, reason: REASON })
    await then()
  }
}
