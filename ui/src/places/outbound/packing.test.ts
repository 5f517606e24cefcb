import { expect, test } from 'vitest'
import { isCarriersLabel, isOfAnotherPlace, isOtherThing, refusedWith, type Refused } from './packing'

const check = (text: string, expected: boolean) => expect(isOfAnotherPlace(text)).toBe(expected)

test("a device's tag is for the box", () => check('WB:J:7K3M2Q9XC', false))
test('a typed reference is for the box', () => check('7K3M-2Q9X-C', false))
test('an identifier is for the box', () => check('490154203237518', false))
test("another parcel's slip is not", () => check('WB:P:0B8W1ZTE4', true))

test("a carrier's label that nothing bears yet is this parcel's tracking number", () => {
  expect(isCarriersLabel({ matches: [], offer_take_in: true })).toBe(true)
  expect(isCarriersLabel({ matches: [{ target: { kind: 'job', job_id: 'j' }, words: '' }], offer_take_in: false })).toBe(false)
})

test("a shop's name typed while packing leads to the shop and is no mistake at the box", () => {
  const job = { target: { kind: 'job' as const, job_id: 'j' }, words: '' }
  const shop = { target: { kind: 'shop' as const, shop_id: 's' }, words: '' }
  expect(isOtherThing({ matches: [shop] })).toBe(true)
  expect(isOtherThing({ matches: [shop, job] })).toBe(false)
  expect(isOtherThing({ matches: [] })).toBe(false)
})

test('a refused device stays in sight when another is refused, and is listed once', () => {
  const refused = (scanned: string, words = 'no'): Refused => ({ scanned, words, missing: [] })
  expect(refusedWith([refused('a')], refused('b')).map(({ scanned }) => scanned)).toEqual(['b', 'a'])
  expect(refusedWith([refused('b'), refused('a')], refused('a', 'still no'))).toEqual([refused('a', 'still no'), refused('b')])
})
