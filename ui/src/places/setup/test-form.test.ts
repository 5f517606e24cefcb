import { describe, expect, test } from 'vitest'
import { fromMicro, testInForm, toMicro, typedTest } from './test-form'

describe('limits in a form', () => {
  test.each([
    [null, ''],
    [3_400_000, '3.4'],
    [5_000, '0.005'],
    [-65_000_000, '-65'],
    [0, '0'],
  ])('%s millionths are written %j', (micro, typed) => {
    expect(fromMicro(micro)).toBe(typed)
    expect(toMicro('low', typed)).toBe(micro)
  })

  test('a comma is a decimal point', () => {
    expect(toMicro('low', '3,82')).toBe(3_820_000)
  })

  test.each(['three', '1.2.3', '0.1234567'])('%j is refused beside its field', (typed) => {
    expect(() => toMicro('high', typed)).toThrow()
  })
})

test('a test goes through its form unchanged', () => {
  const known = {
    code: 'battery.voltage', version: 3, group: 'charging', title: 'Battery voltage at rest', how: 'At its connector.', attached: 'battery', caution: '',
    device_kinds: ['phone' as const], fault_words: ['battery', 'dead'], kind: { kind: 'reading' as const, unit: 'volt' as const, limits: { low_micro: 3_400_000, high_micro: null } },
  }
  expect(typedTest(testInForm(known), 3)).toEqual(known)
})
