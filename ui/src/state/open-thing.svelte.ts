/** One job or parcel that lies open: its view, kept true, and what is done to it, each with its way back. */
import type { CellView, Changed, JobView, ParcelView, Subject, TrailLine } from '../backend/generated'
import { beforeActions } from './action'
import { isAbout, onChanged } from './changes'
import { lab } from './lab.svelte'
import { Live } from './live.svelte'
import { scanLine } from './scanline.svelte'
import { added, undoOf } from './undo'

interface WithTrail {
  trail: TrailLine[]
}

export class OpenThing<View extends WithTrail> {
  readonly live: Live<View>
  readonly subject: Subject
  /** The trail as it was before the action that is on its way. */
  #before: TrailLine[] = []
  readonly #also: (changed: Changed) => boolean

  constructor(subject: Subject, live: Live<View>, also: (changed: Changed) => boolean = () => false) {
    this.subject = subject
    this.live = live
    this.#also = also
  }

  /** Asks for the view and follows it until the returned function is called. */
  start(): () => void {
    void this.live.refresh()
    const stops = [
      onChanged((changed) => {
        if (isAbout(changed, this.subject.kind, this.subject.id) || this.#also(changed)) void this.live.refresh()
      }),
      beforeActions(() => {
        this.#before = this.live.value?.trail ?? []
      }),
    ]
    return () => stops.forEach((stop) => stop())
  }

  readonly refresh = (): Promise<void> => this.live.refresh()

  /**
   * Shows the view that a command gave after it recorded, and says so in the scan line. The way back takes back the
   * entries that the command added, unless another one is given; `null` offers none.
   */
  recorded(words: string, view: View, undo?: (() => Promise<unknown>) | null): void {
    const entries = added(this.#before, view.trail, lab.person?.id)
    this.live.take(view)
    const back = undo === undefined ? undoOf(this.subject, entries, this.refresh) : undo === null ? undefined : async () => {
      await undo()
      await this.refresh()
    }
    scanLine.recorded(words, back)
  }
}

export type OpenJob = OpenThing<JobView>
export type OpenCell = OpenThing<CellView>
export type OpenParcel = OpenThing<ParcelView>

/** Opens a job. */
export function openJob(job_id: string): OpenJob {
  return new OpenThing<JobView>({ kind: 'job', id: job_id }, new Live<JobView>('job', { job_id }))
}

/** Opens a parcel; its devices change with their jobs. */
export function openParcel(parcel_id: string): OpenParcel {
  const live = new Live<ParcelView>('parcel', { parcel_id })
  return new OpenThing<ParcelView>({ kind: 'parcel', id: parcel_id }, live, (changed) =>
    live.value?.devices.some(({ job }) => isAbout(changed, 'job', job.job_id)) ?? false)
}

/** Opens one thing in the Cell bay: a removed cell, or a device with its cell in it. */
export function openCell(subject: Subject): OpenCell {
  return new OpenThing<CellView>(subject, new Live<CellView>('cell', { subject }))
}
