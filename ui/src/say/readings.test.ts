import { expect, test } from 'vitest'
import { dueWords, isLate, shortDate } from './due'
import { calendarDay } from './times'
import { advisedBattery, bytes, decimal, degrees, limitsWords, readingWords, seconds, uncertaintyWords, volts } from './readings'

test.each([[940_000, '0.94'], [-51_000_000, '−51'], [0, '0'], [1, '0.000001'], [21_400_000, '21.4'], [1_013_000_000, '1013']])('%d millionths are %s', (micro, words) => expect(decimal(micro)).toBe(words))

test('a reading keeps its unit, and a count has none', () => {
  expect(readingWords({ micro: 940_000, unit: 'ampere', uncertainty_micro: null })).toBe('0.94 A')
  expect(readingWords({ micro: 4_000_000, unit: 'count', uncertainty_micro: null })).toBe('4')
  expect(volts(3820)).toBe('3.82 V')
})

test.each([
  [800_000, 1_100_000, 'limit 0.8 to 1.1 A'],
  [null, 1_100_000, 'limit 1.1 A or less'],
  [800_000, null, 'limit 0.8 A or more'],
  [null, null, ''],
])('limits %s and %s are said as %j', (low_micro, high_micro, words) => expect(limitsWords({ low_micro, high_micro }, 'ampere')).toBe(words))

test.each([[41_801, '± 0.042 A'], [20_000, '± 0.02 A'], [99_500, '± 0.1 A'], [1, '± 0.000001 A'], [null, '']])('an uncertainty of %s millionths is said with two digits: %s', (uncertainty_micro, words) =>
  expect(uncertaintyWords({ micro: 0, unit: 'ampere', uncertainty_micro })).toBe(words))

test.each([[224, '22.4 °C'], [200, '20.0 °C'], [4, '0.4 °C'], [0, '0.0 °C'], [-51, '−5.1 °C'], [-3, '−0.3 °C']])('%d tenths of a degree are %s, always with the tenths', (tenths, words) => expect(degrees(tenths)).toBe(words))

test('a stopwatch is read in tenths', () => expect(seconds(21_449)).toBe('21.4'))

test.each([[900, '900 B'], [2400, '2.4 KB'], [240_000, '240 KB'], [3_100_000, '3.1 MB']])('%d bytes are %s', (count, words) => expect(bytes(count)).toBe(words))

test.each([
  ['', ''],
  ['2026-11-25', 'due today'],
  ['2026-11-26', 'due tomorrow'],
  ['2026-11-24', '1 day late'],
  ['2026-11-20', '5 days late'],
  ['2026-11-28', 'due Saturday'],
  ['2026-12-09', 'due 9 Dec'],
  ['2027-01-09', 'due 9 Jan 2027'],
])('a job promised for %j is %j on 25 November 2026', (promised, words) => expect(dueWords(promised, '2026-11-25', 'en-IE')).toBe(words))

test.each([['2026-11-09', '9 Nov'], ['2025-12-09', '9 Dec 2025'], ['', ''], ['soon', 'soon']])('in a list, %j is %j in November 2026', (date, words) => expect(shortDate(date, '2026-11-25', 'en-IE')).toBe(words))

test.each([['Europe/Berlin', '2026-12-01'], ['Europe/London', '2026-11-30']])('half past eleven in the evening, UTC, is in %s the day %s', (zone, day) =>
  expect(calendarDay(Date.UTC(2026, 10, 30, 23, 30), { tag: 'en', zone })).toBe(day))

test('a job is late from the day after the promise', () => {
  expect(isLate('2026-11-25', '2026-11-25')).toBe(false)
  expect(isLate('2026-11-24', '2026-11-25')).toBe(true)
  expect(isLate('', '2026-11-25')).toBe(false)
})

test('what a shop read of a battery is said with its units, and nothing where it said nothing', () => {
  const rating = { label_uwh: null, nominal_mv: 3850, capacity_mah: 4500, charge_max_mv: null }
  expect(advisedBattery({ rating, cells: 'one' })).toBe('3.85 V, 4500 mAh, one cell')
  expect(advisedBattery({ rating: { ...rating, label_uwh: 17_300_000, nominal_mv: null, capacity_mah: null }, cells: null })).toBe('17.3 Wh')
  expect(advisedBattery(undefined)).toBe('')
})
