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
    needs: 'attached' as const, instrument: { name: 'bench meter', reading_ppm: 5_000, counts: 3, count_micro: 100, low_micro: 0, high_micro: 20_000_000 }, safety_limit: true, retired: false,
  }
  expect(typedTest(testInForm(known), 3)).toEqual(known)
})

test('an accuracy of half a percent and three counts is 5000 millionths and three counts', () => {
  const typed = { ...testInForm(undefined), kind: 'reading', accuracy_percent: '0,5', accuracy_counts: '3', count: '0.0001' }
  expect(typedTest(typed, 0).instrument).toMatchObject({ reading_ppm: 5_000, counts: 3, count_micro: 100 })
})

test.each([['accuracy_percent', '101'], ['accuracy_counts', '2.5']])('an accuracy that is none is refused beside %s', (field, value) => {
  expect(() => typedTest({ ...testInForm(undefined), kind: 'reading', [field]: value }, 0)).toThrow()
})
