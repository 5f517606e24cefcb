/** Between a spot on the drawing, where the four edges lie under one another, and a mark on one face of the device. */
import type { Condition, DeviceKind, Face, Marked } from '../../backend/generated'
import { shapes } from '../../parts/outline'
import type { OutlineMark, OutlineView } from '../../parts/types'
import { blemish } from '../../say/words'

/** In the order in which the drawing shows them. */
const edges: Face[] = ['top_edge', 'right_edge', 'bottom_edge', 'left_edge']

const permille = (value: number) => Math.max(0, Math.min(1000, Math.round(value)))

export interface Spot {
  face: Face
  x_permille: number
  y_permille: number
}

/** How much of the drawing's width an edge takes. */
function shareOf(kind: DeviceKind, index: number): number {
  const { width, strips } = shapes[kind].edges
  return (strips[index] ?? width) / width
}

/** The face and the place on it that a spot on the drawing means. */
export function faceOf(kind: DeviceKind, view: OutlineView, x: number, y: number): Spot {
  if (view !== 'edges') return { face: view, x_permille: permille(x), y_permille: permille(y) }
  const index = Math.min(edges.length - 1, Math.floor((y * edges.length) / 1000))
  return { face: edges[index] as Face, x_permille: permille(x / shareOf(kind, index)), y_permille: permille(y * edges.length - index * 1000) }
}

/** Where on the drawing a mark stands. */
export function spotOf(kind: DeviceKind, { face, x_permille, y_permille }: Spot): { view: OutlineView; x: number; y: number } {
  const index = edges.indexOf(face)
  if (index < 0) return { view: face as 'front' | 'back', x: x_permille, y: y_permille }
  return { view: 'edges', x: permille(x_permille * shareOf(kind, index)), y: permille((index * 1000 + y_permille) / edges.length) }
}

/** The marks of a job on the drawing of its device. */
export function marksOf(kind: DeviceKind, conditions: Marked<Condition>[]): OutlineMark[] {
  return conditions.map(({ mark, value }) => ({ id: mark.entry_id, ...spotOf(kind, value), words: [blemish[value.blemish], value.note].filter(Boolean).join(': ') }))
}
