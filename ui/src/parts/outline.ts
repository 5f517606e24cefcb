/** Where things are on the outline of a device, and how to say it. Shapes only; the findings are the domain's. */
import type { DeviceKind, OutlineView } from './types'

export interface Shape {
  /** Size in units of one pixel at full size. */
  width: number
  height: number
  /** Outer contours, drawn strong. */
  strong: string[]
  /** What tells one side from another, drawn fine. */
  fine: string[]
  /** Words on the drawing: the names of the edges. */
  labels: { x: number; y: number; words: string }[]
  /** The length of each strip of the edges; empty on a face. */
  strips: number[]
}

/** A rectangle with round corners, as a path. */
function box(x: number, y: number, width: number, height: number, corner: number): string {
  const c = Math.min(corner, width / 2, height / 2)
  return `M${x + c} ${y}H${x + width - c}A${c} ${c} 0 0 1 ${x + width} ${y + c}V${y + height - c}A${c} ${c} 0 0 1 ${x + width - c} ${y + height}H${x + c}A${c} ${c} 0 0 1 ${x} ${y + height - c}V${y + c}A${c} ${c} 0 0 1 ${x + c} ${y}Z`
}

function ring(x: number, y: number, radius: number): string {
  return `M${x - radius} ${y}a${radius} ${radius} 0 1 0 ${radius * 2} 0a${radius} ${radius} 0 1 0 ${-radius * 2} 0Z`
}

const edgeNames = ['top edge', 'right edge', 'bottom edge', 'left edge']

function edges(long: number, short: number, thick: number, fine: (top: number, index: number) => string[]): Shape {
  const pitch = thick + 40
  const shape: Shape = { width: 280, height: pitch * 4, strong: [], fine: [], labels: [], strips: [] }
  edgeNames.forEach((words, index) => {
    const top = index * pitch + 24
    const length = index % 2 === 0 ? short : long
    shape.strips.push(length)
    shape.strong.push(box(1, top, length, thick, thick / 2))
    shape.fine.push(...fine(top, index))
    shape.labels.push({ x: 1, y: top - 8, words })
  })
  return shape
}

const phone: Record<OutlineView, Shape> = {
  front: { width: 152, height: 300, strong: [box(1, 1, 150, 298, 22)], fine: [box(9, 9, 134, 282, 15), box(58, 16, 36, 6, 3)], labels: [], strips: [] },
  back: { width: 152, height: 300, strong: [box(1, 1, 150, 298, 22)], fine: [box(14, 14, 52, 66, 14), ring(40, 33, 11), ring(40, 61, 11)], labels: [], strips: [] },
  edges: edges(278, 150, 20, (top, index) => (index === 1 ? [box(70, top - 3, 30, 3, 1), box(112, top - 3, 54, 3, 1)] : index === 2 ? [box(60, top + 5, 30, 10, 5)] : index === 3 ? [box(70, top + 6, 34, 8, 4)] : [ring(110, top + 10, 3)])),
}

const tablet: Record<OutlineView, Shape> = {
  front: { width: 220, height: 300, strong: [box(1, 1, 218, 298, 16)], fine: [box(15, 15, 190, 270, 4), ring(110, 8, 3)], labels: [], strips: [] },
  back: { width: 220, height: 300, strong: [box(1, 1, 218, 298, 16)], fine: [ring(28, 28, 11), ring(50, 28, 4)], labels: [], strips: [] },
  edges: edges(278, 206, 16, (top, index) => (index === 0 ? [box(150, top - 3, 36, 3, 1)] : index === 2 ? [box(88, top + 4, 30, 8, 4)] : index === 1 ? [box(28, top - 3, 52, 3, 1)] : [])),
}

const laptop: Record<OutlineView, Shape> = {
  front: {
    width: 280, height: 300,
    strong: [box(14, 1, 252, 148, 8), box(1, 157, 278, 142, 8)],
    fine: [box(24, 10, 232, 128, 2), box(18, 168, 244, 68, 3), box(96, 246, 88, 42, 3), 'M18 185H262M18 202H262M18 219H262', 'M60 149V157M220 149V157'],
    labels: [],
    strips: [],
  },
  back: {
    width: 280, height: 300,
    strong: [box(1, 1, 278, 142, 8), box(1, 157, 278, 142, 8)],
    fine: [ring(18, 172, 3), ring(262, 172, 3), ring(18, 284, 3), ring(262, 284, 3), 'M90 176H190M90 182H190M90 188H190', box(20, 270, 60, 5, 2), box(200, 270, 60, 5, 2)],
    labels: [],
    strips: [],
  },
  edges: edges(200, 278, 18, (top, index) => (index === 1 || index === 3 ? [box(24, top + 5, 26, 8, 3), box(62, top + 5, 26, 8, 3), ...(index === 1 ? [ring(112, top + 9, 4)] : [])] : index === 0 ? ['M40 ' + (top + 1) + 'v16M238 ' + (top + 1) + 'v16'] : [box(120, top, 40, 4, 2)])),
}

const handheld: Record<OutlineView, Shape> = {
  front: {
    width: 320, height: 150, strong: [box(1, 1, 318, 148, 40)],
    fine: [box(78, 14, 164, 118, 4), ring(40, 46, 16), ring(280, 98, 16), 'M34 88h12v10h10v12h-10v10h-12v-10h-10v-12h10Z', ring(280, 34, 6), ring(296, 48, 6), ring(264, 48, 6), ring(280, 62, 6)],
    labels: [],
    strips: [],
  },
  back: { width: 320, height: 150, strong: [box(1, 1, 318, 148, 40)], fine: ['M130 40H190M130 50H190M130 60H190', box(24, 6, 60, 24, 10), box(236, 6, 60, 24, 10), ring(30, 120, 3), ring(290, 120, 3)], labels: [], strips: [] },
  edges: edges(150, 278, 20, (top, index) => (index === 0 ? [box(28, top + 2, 46, 16, 6), box(205, top + 2, 46, 16, 6), box(125, top + 5, 30, 10, 5)] : index === 2 ? [box(120, top + 6, 40, 8, 3)] : [])),
}

export const shapes: Record<DeviceKind, Record<OutlineView, Shape>> = { phone, tablet, laptop, handheld }

/** Says where a point is: "upper left", "centre", "right edge, middle". */
export function placeWords(kind: DeviceKind, view: OutlineView, x: number, y: number): string {
  const third = (value: number, names: [string, string, string]) => names[value < 333 ? 0 : value <= 667 ? 1 : 2]
  if (view === 'edges') {
    const index = Math.min(3, Math.floor(y / 250))
    const shape = shapes[kind].edges
    const along = (x * shape.width) / (shape.strips[index] ?? shape.width)
    return `${edgeNames[index]}, ${third(along, ['start', 'middle', 'end'])}`
  }
  const row = third(y, ['upper', '', 'lower'])
  const column = third(x, ['left', '', 'right'])
  return [row, column].filter(Boolean).join(' ') || 'centre'
}

/** Moves the cross by one arrow key; the edges of the drawing stop it. */
export function moved(x: number, y: number, key: string, large: boolean): { x: number; y: number } | undefined {
  const by = large ? 100 : 20
  const kept = (value: number) => Math.max(0, Math.min(1000, value))
  if (key === 'ArrowLeft') return { x: kept(x - by), y }
  if (key === 'ArrowRight') return { x: kept(x + by), y }
  if (key === 'ArrowUp') return { x, y: kept(y - by) }
  if (key === 'ArrowDown') return { x, y: kept(y + by) }
  return undefined
}
