/** Heat as it stands in its form. */
import type { BoardSide, HeatInput } from '../../backend/generated'

export interface TypedHeat {
  temperature_c: string
  seconds: string
  side: BoardSide
  /** Designators as typed, apart by commas or blanks. */
  neighbours: string
  neighbour_tests: string[]
}

export const emptyHeat = (): TypedHeat => ({ temperature_c: '', seconds: '', side: 'top', neighbours: '', neighbour_tests: [] })

export function heatInput({ neighbours, ...heat }: TypedHeat): HeatInput {
  return { ...heat, neighbours: neighbours.split(/[\s,;]+/).filter(Boolean) }
}
