/** What the lab's past says of a job's fault; asked anew when the tests that show it are chosen anew. */
import { past, type JobView, type PastView } from '../../backend/generated'

/** Follows the past of the job that `view` gives, for as long as the component that calls this stands. */
export function followPast(view: () => JobView): { readonly value: PastView | undefined } {
  let told = $state.raw<PastView | undefined>(undefined)
  const job_id = $derived(view().job.job_id)
  const chosen = $derived(view().job.tests.heads.map(({ mark }) => mark.entry_id).join())
  $effect(() => {
    void chosen
    let stale = false
    past({ job_id }).then((answer) => stale || (told = answer), () => stale || (told = undefined))
    return () => {
      stale = true
    }
  })
  return {
    get value() {
      return told
    },
  }
}
