/** What a line of the bay says, in words. Levels, times and reasons are the backend's; nothing is worked out anew here. */
import type { CellPlacement, CellReadingInput, CellState, Look } from '../../backend/generated'
import { degrees, volts } from '../../say/readings'
import { cellFinding, isolationPlace } from '../../say/words'

export function placeWords({ place, position }: Pick<CellPlacement, 'place' | 'position'>): string {
  return position === '' ? isolationPlace[place] : `${isolationPlace[place]}, ${position}`
}

/** Where something lies; a cell that is reacting is left where it is, so that nobody reads "not put away" as a task. */
export function whereWords({ placed, level }: Pick<CellState, 'placed' | 'level'>): { words: string; missing: boolean } {
  if (placed) return { words: placeWords(placed.value), missing: false }
  if (level === 'emergency') return { words: 'where it was; nobody moves it', missing: false }
  if (level === 'watch') return { words: 'at its place on the rack', missing: false }
  return { words: 'not put away yet', missing: true }
}

/** "swollen; surface 22.4 °C, room 21 °C, 3.82 V". */
export function lookWords({ check }: Look): string {
  const measured = [
    check.surface_tenths_c === null ? '' : `surface ${degrees(check.surface_tenths_c)}`,
    check.room_tenths_c === null ? '' : `room ${degrees(check.room_tenths_c)}`,
    check.voltage_mv === null ? '' : volts(check.voltage_mv),
  ].filter(Boolean).join(', ')
  return [check.findings.map((finding) => cellFinding[finding]).join(', '), measured].filter(Boolean).join('; ') || 'looked at'
}

export function emptyReading(): CellReadingInput {
  return { findings: [], voltage: '', cells_in_series: '', surface: '', room: '', warmed_by: null, note: '' }
}

/** One measured value over time. */
export interface Point {
  at_ms: number
  value: number
}

/** How much warmer than the room the surface was, in tenths of a degree, at each look that measured both. */
export function warmth(looks: Look[]): Point[] {
  return looks.flatMap(({ mark, check }) =>
    check.surface_tenths_c === null || check.room_tenths_c === null ? [] : [{ at_ms: mark.at_ms, value: check.surface_tenths_c - check.room_tenths_c }])
}

/** The voltage in millivolts at each look that measured it. */
export function voltage(looks: Look[]): Point[] {
  return looks.flatMap(({ mark, check }) => (check.voltage_mv === null ? [] : [{ at_ms: mark.at_ms, value: check.voltage_mv }]))
}

/** Points in a box: time across, value up, at least `span` from bottom to top so that noise does not look like a movement. */
export function plotted(points: Point[], width: number, height: number, span: number): { x: number; y: number }[] {
  if (points.length === 0) return []
  const times = points.map(({ at_ms }) => at_ms)
  const values = points.map(({ value }) => value)
  const [from, to] = [Math.min(...times), Math.max(...times)]
  const middle = (Math.min(...values) + Math.max(...values)) / 2
  const half = Math.max(Math.max(...values) - Math.min(...values), span) / 2
  return points.map(({ at_ms, value }) => ({
    x: to === from ? width / 2 : ((at_ms - from) / (to - from)) * width,
    y: height - ((value - middle + half) / (2 * half)) * height,
  }))
}
