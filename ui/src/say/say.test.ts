import { describe, expect, test } from 'vitest'
import { count, money, readDecimal, readMoney } from './amounts'
import { clock, day, duration, exact, moment, stamp } from './times'

const dublin = { tag: 'en-IE', zone: 'Europe/Dublin' }
const now = Date.UTC(2026, 10, 25, 10, 0)
const hours = 3_600_000

describe('a time', () => {
  test.each([
    [Date.UTC(2026, 10, 25, 15, 0), 'today, 15:00'],
    [Date.UTC(2026, 10, 26, 15, 0), 'tomorrow, 15:00'],
    [Date.UTC(2026, 10, 24, 23, 59), 'yesterday, 23:59'],
    [Date.UTC(2026, 10, 27, 9, 5), 'Friday, 09:05'],
    [Date.UTC(2026, 11, 9, 9, 5), '9 Dec, 09:05'],
    [Date.UTC(2025, 11, 9, 9, 5), '9 Dec 2025, 09:05'],
  ])('%d is said as %s', (at, expected) => expect(moment(at, now, dublin)).toBe(expected))

  test("is of the lab's day, not of UTC's", () => {
    const auckland = { tag: 'en-NZ', zone: 'Pacific/Auckland' }
    expect(day(Date.UTC(2026, 10, 25, 12, 0), now, auckland)).toBe('tomorrow')
    expect(clock(Date.UTC(2026, 10, 25, 12, 0), auckland)).toBe('01:00')
  })

  // Summer time ends in the European Union on the last Sunday of October (Directive 2000/84/EC): that day has 25 hours.
  test('a day of 25 hours is one day', () => {
    const noon = Date.UTC(2026, 9, 24, 11, 0)
    expect(moment(noon + 25 * hours, noon, dublin)).toBe('tomorrow, 12:00')
  })

  test('in the margin is as short as it can be', () => {
    expect(stamp(now, now, dublin)).toBe('10:00')
    expect(stamp(now - 24 * hours, now, dublin)).toBe('24 Nov, 10:00')
  })

  test('is whole on hover', () => expect(exact(now, dublin)).toMatch(/Wednesday.*25 November 2026.*10:00:00.*GMT/))

  test.each([[40_000, '40 s'], [12 * 60_000, '12 min'], [3 * hours, '3 h'], [5 * 24 * hours, '5 days']])('%d ms is said as %s', (ms, expected) => expect(duration(ms)).toBe(expected))
})

describe('an amount', () => {
  // Digits after the decimal sign by ISO 4217: EUR 2, JPY 0, KWD 3, RSD 2, HUF 2.
  test.each([
    [12990, 'EUR', 'EUR 129.90'],
    [5, 'EUR', 'EUR 0.05'],
    [-12990, 'EUR', '-EUR 129.90'],
    [12990, 'JPY', 'JPY 12,990'],
    [12990, 'KWD', 'KWD 12.990'],
    [122000, 'RSD', 'RSD 1,220.00'],
    [122000, 'HUF', 'HUF 1,220.00'],
    [9_007_199_254_740_991, 'EUR', 'EUR 90,071,992,547,409.91'],
  ])('of %d minor units of %s is written %s', (minor, currency, expected) => expect(money(minor, currency, 'en-IE')).toBe(expected.replace(' ', '\u00a0')))

  test.each([
    ['129,90', 'EUR', 12990], ['129.9', 'EUR', 12990], ['0.05', 'EUR', 5], ['1 250', 'EUR', 125000], ['500', 'JPY', 500], ['1.234', 'KWD', 1234], ['12.500', 'EUR', 1250],
  ])('typed as %s in %s is read', (typed, currency, value) => expect(readMoney(typed, currency)).toEqual({ ok: true, value }))

  test.each([
    ['', 'EUR', /such as 129.90/], ['abc', 'EUR', /such as 129.90/], ['1.234', 'EUR', /2 decimal places: write 1.23/], ['1.5', 'JPY', /no smaller unit/], ['99999999999999999', 'EUR', /too large/],
  ])('typed as %j in %s is refused with what would be right', (typed, currency, error) => {
    const read = readMoney(typed, currency)
    expect(read.ok ? '' : read.error).toMatch(error)
  })

  test('is counted with the separators of the lab', () => expect(count(12400, 'en-IE')).toBe('12,400'))
})

describe('a reading', () => {
  test.each([['3,82', '3.82'], ['3.820', '3.820'], ['\u22120,4', '-0.4'], ['.5', '0.5'], [' 12 ', '12'], ['1 250,5', '1250.5']])('typed as %s is %s', (typed, value) => expect(readDecimal(typed)).toEqual({ ok: true, value }))

  test.each([['1.250,5', /one decimal sign/], ['3.8V', /Write a number/], ['', /Write a number/], ['-', /Write a number/]])('typed as %j is refused', (typed, error) => {
    const read = readDecimal(typed)
    expect(read.ok ? '' : read.error).toMatch(error)
  })
})
