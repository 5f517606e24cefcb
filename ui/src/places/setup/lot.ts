/** What Setup says and takes back about a lot of parts. */
import { lot, type BagEvent } from '../../backend/generated'
import { undoOf } from '../../state/undo'

/** The state of its bag in a word or two. */
export function bagWords({ open, in_dry_cabinet }: { open: boolean; in_dry_cabinet: boolean }): string {
  if (open) return 'open'
  return in_dry_cabinet ? 'in the dry cabinet' : 'closed'
}

/** What was recorded, with what follows for its clock. */
export function bagRecorded(number: string, event: BagEvent): string {
  if (event === 'opened') return `The bag of lot ${number} is open; its clock runs.`
  if (event === 'closed') return `The bag of lot ${number} is closed; its clock stands.`
  return `Lot ${number} is in the dry cabinet; its clock stands.`
}

/** The way back from what was recorded last about a lot. */
export async function lotUndo(number: string, then: () => Promise<void>): Promise<(() => Promise<void>) | undefined> {
  const { events, subject } = await lot({ lot: number })
  const last = events.filter(({ line }) => !line.withdrawn).at(-1)
  return last && undoOf(subject, [last.line.mark.entry_id], then)
}
