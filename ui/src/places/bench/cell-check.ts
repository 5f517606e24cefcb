/** A cell check as it stands in its form. The level is the backend's; this only keeps the findings from contradicting each other by a slip. */
import type { CellCheckInput, CellFinding, JobView } from '../../backend/generated'

export function emptyCheck(): CellCheckInput {
  return {
    findings: [], voltage: '', cells_in_series: '', surface: '', room: '', warmed_by: null, chemistry: 'unknown', label_wh: '', nominal_v: '', capacity_mah: '', charge_max_v: '', note: '', cells_in_parallel: '',
  }
}

/** The fields that show their own errors. */
export const checkFields = ['findings', 'voltage', 'cells_in_series', 'cells_in_parallel', 'surface', 'room', 'label_wh', 'nominal_v', 'capacity_mah', 'charge_max_v']

/** Ticking "nothing wrong" takes all others away, and ticking another takes "nothing wrong" away: the last tick is what was meant. */
export function ticked(before: CellFinding[], after: CellFinding[]): CellFinding[] {
  const newest = after.find((finding) => !before.includes(finding))
  if (newest === 'nothing_wrong') return ['nothing_wrong']
  return newest === undefined ? after : after.filter((finding) => finding !== 'nothing_wrong')
}

/** A second look at the same cell starts from what is printed on it; what is seen and measured is looked at anew. */
export function againFrom({ job }: JobView): CellCheckInput {
  const last = job.cell_checks.at(-1)?.check
  if (!last) return emptyCheck()
  const count = (value: number | null) => (value === null ? '' : String(value))
  const thousandths = (value: number | null) => (value === null ? '' : String(value / 1000))
  return {
    ...emptyCheck(),
    chemistry: last.chemistry,
    cells_in_series: count(last.cells_in_series),
    cells_in_parallel: count(last.cells_in_parallel),
    label_wh: last.rating.label_uwh === null ? '' : String(last.rating.label_uwh / 1e6),
    nominal_v: thousandths(last.rating.nominal_mv),
    capacity_mah: count(last.rating.capacity_mah),
    charge_max_v: thousandths(last.rating.charge_max_mv),
  }
}
