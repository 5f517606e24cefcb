import { describe, expect, it } from 'vitest'
import type { Look } from '../../backend/generated'
import { lookWords, placeWords, plotted, voltage, warmth, whereWords } from './bay'

const look = (at_ms: number, surface: number | null, room: number | null, mv: number | null, findings: string[] = []): Look =>
  ({ mark: { entry_id: String(at_ms), actor_id: 'p', at_ms }, kind: 'reading', check: { findings, surface_tenths_c: surface, room_tenths_c: room, voltage_mv: mv } }) as unknown as Look

describe('a line of the bay', () => {
  it('says where something lies, with its position if it has one', () => {
    expect(placeWords({ place: 'drum', position: '' })).toBe('drum')
    expect(placeWords({ place: 'bay', position: 'B3' })).toBe('Cell bay, B3')
  })

  it('never reads as if a reacting cell were to be moved', () => {
    expect(whereWords({ placed: null, level: 'emergency' })).toEqual({ words: 'where it was; nobody moves it', missing: false })
    expect(whereWords({ placed: null, level: 'isolate' }).missing).toBe(true)
  })

  it('says what was seen before what was measured', () => {
    expect(lookWords(look(0, 224, 210, 3820, ['swollen']))).toBe('swollen, or lifts the back or screen; surface 22.4 °C, room 21.0 °C, 3.82 V')
    expect(lookWords(look(0, null, null, null))).toBe('looked at')
  })
})

describe('a trend', () => {
  it('shows only looks that measured', () => {
    const looks = [look(0, 224, 210, 3820), look(1, 230, null, null), look(2, 222, 210, 3818)]
    expect(warmth(looks).map(({ value }) => value)).toEqual([14, 12])
    expect(voltage(looks).map(({ value }) => value)).toEqual([3820, 3818])
  })

  it('puts time across and value up, and a steady value in the middle', () => {
    const steady = plotted([{ at_ms: 0, value: 10 }, { at_ms: 10, value: 10 }], 100, 20, 50)
    expect(steady).toEqual([{ x: 0, y: 10 }, { x: 100, y: 10 }])
    const rising = plotted([{ at_ms: 0, value: 0 }, { at_ms: 5, value: 100 }], 100, 20, 50)
    expect(rising).toEqual([{ x: 0, y: 20 }, { x: 100, y: 0 }])
  })

  it('does not make a mountain of noise', () => {
    const noise = plotted([{ at_ms: 0, value: 0 }, { at_ms: 5, value: 1 }], 100, 20, 50)
    expect(Math.abs((noise[0]?.y ?? 0) - (noise[1]?.y ?? 0))).toBeLessThan(1)
  })

  it('is nothing without readings', () => {
    expect(plotted([], 100, 20, 50)).toEqual([])
  })
})
