/** The job that was open last on this desktop, so that the Bench is found as it was left. */
const KEY = 'waybench.last-job'

function kept(): string {
  try {
    return localStorage.getItem(KEY) ?? ''
  } catch {
    return ''
  }
}

class LastJob {
  id = $state(kept())

  is(job_id: string): void {
    if (job_id === this.id) return
    this.id = job_id
    try {
      localStorage.setItem(KEY, job_id)
    } catch {
      // Without storage it is forgotten with the window, which is no loss.
    }
  }
}

export const lastJob = new LastJob()
