/** Heat and jumpers as they stand in their forms. What is known and what speaks against it comes from the backend; nothing is judged here. */
import type { BoardSide, HeatInput, JumperInput, MeasuredAt, StepPreview } from '../../backend/generated'

export interface TypedHeat {
  part: string
  board: string
  temperature_c: string
  measured_at: MeasuredAt
  seconds: string
  above_liquidus_s: string
  alloy: string
  cell_off: 'yes' | 'no' | ''
  side: BoardSide
  /** Designators as typed, apart by commas or blanks. */
  neighbours: string
  neighbour_tests: string[]
  changed_because: string
  /** What the board's knowledge filled in, so that what a person took out is not filled in again. */
  filled: { part: string; neighbours: string[]; tests: string[] }
}

export const emptyHeat = (): TypedHeat => ({
  part: '', board: '', temperature_c: '', measured_at: 'tool', seconds: '', above_liquidus_s: '', alloy: '', cell_off: '', side: 'top', neighbours: '', neighbour_tests: [],
  changed_because: '', filled: { part: '', neighbours: [], tests: [] },
})

export const designators = (typed: string): string[] => typed.split(/[\s,;]+/).filter(Boolean).map((part) => part.toUpperCase())

export function heatInput({ neighbours, filled: _, board, cell_off, ...heat }: TypedHeat): HeatInput {
  return { ...heat, board: board || null, cell_off: cell_off === '' ? null : cell_off === 'yes', neighbours: designators(neighbours) }
}

/** Takes in what the board's knowledge offers for the heated part. What was filled in for another part goes; what a person added stays. */
export function fill(heat: TypedHeat, preview: Pick<StepPreview, 'neighbours' | 'tests'>): TypedHeat {
  const part = heat.part.trim().toUpperCase()
  const offered = { part, neighbours: preview.neighbours.map(({ designator }) => designator), tests: preview.tests.map(({ code }) => code) }
  const before = heat.filled
  const same = before.part === part
  const merge = (own: string[], old: string[], fresh: string[]) => {
    const kept = same ? own : own.filter((one) => !old.includes(one))
    return [...kept, ...fresh.filter((one) => !kept.includes(one) && !(same && old.includes(one)))]
  }
  return {
    ...heat,
    neighbours: merge(designators(heat.neighbours), before.neighbours, offered.neighbours).join(' '),
    neighbour_tests: merge(heat.neighbour_tests, before.tests, offered.tests),
    filled: offered,
  }
}

/** What the board's knowledge names and the form leaves out. */
export function leftOut(heat: TypedHeat, preview: Pick<StepPreview, 'neighbours' | 'tests'>): string[] {
  const named = designators(heat.neighbours)
  return [
    ...preview.neighbours.map(({ designator }) => designator).filter((one) => !named.includes(one)),
    ...preview.tests.filter(({ code }) => !heat.neighbour_tests.includes(code)).map(({ title }) => title),
  ]
}

export const emptyJumper = (): JumperInput => ({ net: '', wire: '', length_mm: '', measured: '', leads: '', uncertainty: '', wire_temperature_c: '' })
