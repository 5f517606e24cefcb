import { describe, expect, test } from 'vitest'
import { moved, placeWords, shapes } from './outline'

test.each([
  ['front', 100, 100, 'upper left'], ['front', 500, 500, 'centre'], ['back', 900, 500, 'right'], ['back', 500, 900, 'lower'],
  ['edges', 100, 10, 'top edge, start'], ['edges', 500, 300, 'right edge, middle'], ['edges', 270, 600, 'bottom edge, middle'], ['edges', 990, 1000, 'left edge, end'],
] as const)('on the %s, %d and %d is said as %s', (view, x, y, words) => expect(placeWords('phone', view, x, y)).toBe(words))

describe('the cross', () => {
  test('moves by arrow keys, further with Shift', () => {
    expect(moved(500, 500, 'ArrowUp', false)).toEqual({ x: 500, y: 480 })
    expect(moved(500, 500, 'ArrowRight', true)).toEqual({ x: 600, y: 500 })
  })
  test('stops at the edge of the drawing', () => expect(moved(10, 500, 'ArrowLeft', true)).toEqual({ x: 0, y: 500 }))
  test('leaves other keys alone', () => expect(moved(10, 500, 'Enter', false)).toBeUndefined())
})

test('every kind of device has three drawn views, and each contour stays on its paper', () => {
  for (const [kind, views] of Object.entries(shapes)) {
    for (const [view, shape] of Object.entries(views)) {
      expect(shape.strong.length, `${kind} ${view}`).toBeGreaterThan(0)
      const starts = [...shape.strong, ...shape.fine].map((path) => /^M(-?[\d.]+) (-?[\d.]+)/.exec(path)?.slice(1).map(Number) ?? [])
      for (const [x = -1, y = -1] of starts) {
        expect(x >= 0 && x <= shape.width && y >= 0 && y <= shape.height, `${kind} ${view} ${x} ${y}`).toBe(true)
      }
    }
  }
})
