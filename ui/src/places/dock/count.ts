/** Expected against found, while it is being counted. Only bookkeeping; what a difference means is the backend's. */
import type { ExtraDevice, ParcelDeviceRow, ScanMatch } from '../../backend/generated'

export interface Count {
  found: string[]
  extra: ExtraDevice[]
  note: string
}

export const emptyCount = (): Count => ({ found: [], extra: [], note: '' })

export const emptyExtra = (): ExtraDevice => ({ kind: 'phone', maker: '', model: '', colour: '', fault: '', identifier: '' })

/** Marks a device as found, or takes the mark away. */
export function toggled(found: string[], job_id: string): string[] {
  return found.includes(job_id) ? found.filter((other) => other !== job_id) : [...found, job_id]
}

/** The announced device that a scan means, if it is one of this parcel. */
export function expectedIn(matches: ScanMatch[], devices: ParcelDeviceRow[]): ParcelDeviceRow | undefined {
  const meant = matches.flatMap(({ target }) => (target.kind === 'job' ? [target.job_id] : []))
  const here = devices.filter(({ job, state }) => state === 'expected' && meant.includes(job.job_id))
  // A text that fits two devices of the parcel tells neither of them apart.
  return here.length === 1 ? here[0] : undefined
}

/** What a count will say, before it is recorded. */
export function countWords({ found, extra }: Count, devices: ParcelDeviceRow[]): { found: number; missing: number; extra: number; words: string } {
  const expected = devices.filter(({ state }) => state === 'expected').map(({ job }) => job.job_id)
  const there = expected.filter((job_id) => found.includes(job_id)).length
  const missing = expected.length - there
  const parts = [`${there} of ${expected.length} found`, missing > 0 ? `${missing} missing` : '', extra.length > 0 ? `${extra.length} extra` : '']
  return { found: there, missing, extra: extra.length, words: parts.filter(Boolean).join(', ') }
}
