/** What an outcome says of the job when nothing keeps it from being chosen. What keeps it from that is decided by the backend. */
import type { JobOutcome, JobView } from '../../backend/generated'
import { outcomeNote, repairedClaims } from '../../say/words'

/** “Repaired” claims that all was shown; where an owner passed what was not, that claim would not be true. */
export function noteOf({ job }: { job: Pick<JobView['job'], 'overrides'> }, outcome: JobOutcome): string {
  const passed = job.overrides.some(({ value }) => repairedClaims.includes(value.block))
  return outcome === 'repaired' && passed ? 'What speaks against it was passed with a reason, which the report prints.' : outcomeNote[outcome]
}
