import { describe, expect, test } from 'vitest'
import type { DeviceKind } from '../../backend/generated'
import { faceOf, spotOf } from './condition'

describe.each<DeviceKind>(['phone', 'tablet', 'laptop', 'handheld'])('on the drawing of a %s', (kind) => {
  test('a spot on the front is a mark on the front', () => expect(faceOf(kind, 'front', 180, 130)).toEqual({ face: 'front', x_permille: 180, y_permille: 130 }))

  test.each([['top_edge', 100], ['right_edge', 300], ['bottom_edge', 600], ['left_edge', 990]])('a spot in the strip of the %s is on it', (face, y) => expect(faceOf(kind, 'edges', 100, y).face).toBe(face))

  test.each([['front', 5, 995], ['back', 500, 500], ['top_edge', 250, 400], ['right_edge', 0, 1000], ['bottom_edge', 730, 20], ['left_edge', 400, 600]] as const)('a mark on %s is found again where it was put', (face, x, y) => {
    const spot = spotOf(kind, { face, x_permille: x, y_permille: y })
    const back = faceOf(kind, spot.view, spot.x, Math.min(spot.y, 999))
    // The lower border of one strip is the upper border of the next.
    if (y < 1000) expect(back.face).toBe(face)
    if (y < 1000) expect(Math.abs(back.y_permille - y)).toBeLessThanOrEqual(4)
    expect(Math.abs(back.x_permille - x)).toBeLessThanOrEqual(3)
  })

  test('a spot beyond the end of a short edge lies at its end', () => expect(faceOf(kind, 'edges', 1000, 100).x_permille).toBe(1000))
})
