import { describe, expect, test } from 'vitest'
import vectors from '../../../tests/vectors/wcag_contrast.json'
import { contrast } from './contrast'
import css from './tokens.css?raw'

const schemes = { light: new Map<string, string>(), dark: new Map<string, string>() }
for (const [, name, light, dark] of css.matchAll(/--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)/g)) {
  schemes.light.set(name as string, light as string)
  schemes.dark.set(name as string, dark as string)
}

// Text at AA: 4.5 to 1 (success criterion 1.4.3). Every pair in which words stand on a ground.
const words = [
  ['ink', 'paper'], ['ink', 'field'], ['ink', 'fold'], ['ink', 'wash'],
  ['ink-quiet', 'paper'], ['ink-quiet', 'field'], ['ink-quiet', 'fold'], ['ink-quiet', 'wash'],
  ['accent', 'paper'], ['accent', 'field'], ['accent', 'fold'], ['accent', 'wash'],
  ['paper', 'accent'], ['paper', 'ink'],
] as const

// Bounds of what can be operated, and marks that carry meaning: 3 to 1 (success criterion 1.4.11).
const bounds = [
  ['line', 'paper'], ['line', 'field'], ['line', 'fold'],
  ['accent', 'paper'], ['accent', 'field'], ['accent', 'fold'], ['accent', 'wash'],
  ['ink', 'paper'], ['ink', 'fold'],
] as const

// Outside check: WCAG 2.2 contrast ratio; published near misses and computed values, see `source` in the file.
describe('the contrast function', () => {
  test.each(vectors.cases)('gives $ratio for $fg on $bg', ({ fg, bg, ratio, AA_text, AA_large_or_ui }) => {
    expect(contrast(fg, bg)).toBeCloseTo(ratio, 2)
    expect(contrast(fg, bg) >= 4.5).toBe(AA_text)
    expect(contrast(fg, bg) >= 3).toBe(AA_large_or_ui)
  })
})

describe.each(['light', 'dark'] as const)('in the %s scheme', (scheme) => {
  const colour = (name: string): string => {
    const value = schemes[scheme].get(name)
    if (!value) throw new Error(`tokens.css has no colour named ${name}`)
    return value
  }

  test.each(words)('%s can be read on %s', (fg, bg) => {
    expect(contrast(colour(fg), colour(bg))).toBeGreaterThanOrEqual(4.5)
  })

  test.each(bounds)('%s can be made out on %s', (fg, bg) => {
    expect(contrast(colour(fg), colour(bg))).toBeGreaterThanOrEqual(3)
  })
})

test('the four colours of the design are the tokens', () => {
  expect(['paper', 'ink', 'rule', 'accent'].map((name) => schemes.light.get(name))).toEqual(['#FAF8F3', '#1B1F23', '#D9D4C7', '#1F4E79'])
  expect(['paper', 'ink', 'rule', 'accent'].map((name) => schemes.dark.get(name))).toEqual(['#16191D', '#ECE8DF', '#343A40', '#8FB8DE'])
})

test('no size of type is under 13 px', () => {
  const sizes = [...css.matchAll(/--size-[\w]+: ([\d.]+)rem/g)].map(([, rem]) => Number(rem) * 16)
  expect(sizes.length).toBeGreaterThan(4)
  expect(Math.min(...sizes)).toBeGreaterThanOrEqual(13)
})

test('nothing outside the tokens names a colour', () => {
  const files = import.meta.glob(['../**/*.svelte', '../**/*.css', '!./tokens.css'], { query: '?raw', import: 'default', eager: true })
  const named = Object.entries(files).filter(([, text]) => /#[0-9a-f]{6}\b|\brgba?\(|\bhsla?\(/i.test(String(text)))
  expect(Object.keys(files).length).toBeGreaterThan(2)
  expect(named.map(([path]) => path)).toEqual([])
})
