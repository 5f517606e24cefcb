import { asBackendError, checkReport } from '../../backend'
import { rack, type JobRow, type ReportCheck, type ReportStanding } from '../../backend/generated'

/** One file that was checked: the answer, or why there is none. */
export interface Checked {
  number: number
  file_name: string
  standing: ReportStanding | null
  words: string
  /** The job it is about, where this desktop has it. */
  job?: JobRow | undefined
}

/** A standing in a few words; the answer's own sentences say the rest. */
export const standingWords: Record<ReportStanding, string> = {
  genuine: 'Genuine, and the newest',
  superseded: 'Genuine, but not the newest',
  withdrawn: 'Genuine, but taken back',
  pages_unproved: 'Pages not proved',
  not_known_yet: 'Sealed by us, not known here yet',
  altered: 'Altered',
  other_lab: 'Another lab’s',
  no_report: 'No report in it',
}

/** The files that were checked since the window opened, the latest first. They are looked at one after the other, and none is lost. */
class CheckedReports {
  list = $state.raw<Checked[]>([])
  /** What is looked at now, and how many there are in this go. */
  now = $state.raw<{ file_name: string; place: number; total: number } | undefined>(undefined)
  #waiting: File[] = []
  #place = 0
  #last = 0

  async check(files: File[]): Promise<void> {
    this.#waiting.push(...files)
    if (this.now) {
      this.now = { ...this.now, total: this.#place + this.#waiting.length }
      return
    }
    for (let file = this.#waiting.shift(); file; file = this.#waiting.shift()) {
      this.#place += 1
      this.now = { file_name: file.name, place: this.#place, total: this.#place + this.#waiting.length }
      const checked = await look(file)
      this.#last += 1
      this.list = [{ ...checked, number: this.#last, file_name: file.name }, ...this.list]
    }
    this.now = undefined
    this.#place = 0
  }

  clear(): void {
    this.list = []
  }
}

/** As much as the desk looks at; more is not even read. */
const BYTES_MAX = 64 * 1024 * 1024
/** Readers look for a PDF's beginning within its first kilobyte (Adobe PDF Reference 1.7, appendix H, note 13; from memory). */
const HEAD_BYTES = 1024

/** What a file is that can't be a report, in a sentence with the way out; nothing for a PDF. */
async function noPdf(file: File): Promise<string | undefined> {
  if (file.size === 0) return 'This file is empty. Ask for it again.'
  if (file.size > BYTES_MAX) return 'This file is larger than any report. Choose the PDF that came with the device.'
  return (await file.slice(0, HEAD_BYTES).text()).includes('%PDF-') ? undefined : 'This is no PDF, whatever its name says. Choose the report’s PDF as it was sent.'
}

async function look(file: File): Promise<Omit<Checked, 'number' | 'file_name'>> {
  try {
    const wrong = await noPdf(file)
    if (wrong) return { standing: 'no_report', words: wrong }
    const { standing, words, job_reference } = await checkReport<ReportCheck>(file)
    return { standing, words, job: job_reference === null ? undefined : await jobOf(job_reference) }
  } catch (cause) {
    return { standing: null, words: asBackendError(cause).message }
  }
}

/** The device's row, to say which it is. The answer stands without it. */
async function jobOf(reference: string): Promise<JobRow | undefined> {
  try {
    const { rows } = await rack({ shop_id: null, stage: null, words: reference, with_returned: true })
    return rows.find((row) => row.reference === reference)
  } catch {
    return undefined
  }
}

export const checked = new CheckedReports()
