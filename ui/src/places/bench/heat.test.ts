import { describe, expect, test } from 'vitest'
import { emptyHeat, fill, heatInput, leftOut, type TypedHeat } from './heat'

const check = (typed: string, designators: string[]) => expect(heatInput({ ...emptyHeat(), neighbours: typed }).neighbours).toEqual(designators)

test('neighbours may be typed with commas or blanks, in small letters', () => check('C2402, u2500  L10;R7', ['C2402', 'U2500', 'L10', 'R7']))
test('no neighbour is none', () => check('  ', []))
test('a cell that nobody spoke of is not said to be off', () => expect(heatInput(emptyHeat()).cell_off).toBeNull())

describe('what the knowledge of a board offers', () => {
  const near = (designator: string) => ({ designator, description: '', way: null, serves: [], note: '' })
  const offer = (parts: string[], tests: string[]) => ({ neighbours: parts.map(near), tests: tests.map((code) => ({ code, title: code })) })
  const heated = (changes: Partial<TypedHeat>): TypedHeat => ({ ...emptyHeat(), part: 'U2400', ...changes })
  const radio = offer(['U5200'], ['radio.call'])

  test('fills the form', () => {
    const filled = fill(heated({}), radio)
    expect(filled.neighbours).toBe('U5200')
    expect(filled.neighbour_tests).toEqual(['radio.call'])
    expect(leftOut(filled, radio)).toEqual([])
  })

  test('is not filled in again once a person took it out, and is named as left out', () => {
    const taken = { ...fill(heated({}), radio), neighbours: '', neighbour_tests: [] }
    const again = fill(taken, radio)
    expect(again.neighbours).toBe('')
    expect(leftOut(again, radio)).toEqual(['U5200', 'radio.call'])
  })

  test('of a new neighbour comes in beside what stands there', () => {
    const again = fill(fill(heated({}), radio), offer(['U5200', 'C12'], ['radio.call', 'charge.current']))
    expect(again.neighbours).toBe('U5200 C12')
    expect(again.neighbour_tests).toEqual(['radio.call', 'charge.current'])
  })

  test('goes with its part, and what a person added stays', () => {
    const other = fill({ ...fill(heated({}), radio), part: 'U1', neighbours: 'U5200 R9' }, offer(['L3'], []))
    expect(other.neighbours).toBe('R9 L3')
    expect(other.neighbour_tests).toEqual([])
  })
})
