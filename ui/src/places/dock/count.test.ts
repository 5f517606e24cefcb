import { describe, expect, test } from 'vitest'
import type { ParcelDeviceRow, ScanMatch } from '../../backend/generated'
import { countWords, emptyCount, emptyExtra, expectedIn, toggled } from './count'

const device = (job_id: string, state: ParcelDeviceRow['state'] = 'expected') => ({ state, job: { job_id } }) as ParcelDeviceRow
const job = (job_id: string): ScanMatch => ({ target: { kind: 'job', job_id }, words: job_id })
const devices = [device('a'), device('b')]

describe('a scan while counting', () => {
  const check = (matches: ScanMatch[], found: string | undefined) => expect(expectedIn(matches, devices)?.job.job_id).toBe(found)
  test('means the announced device it names', () => check([job('a')], 'a'))
  test('means it also when devices elsewhere bear the same word', () => check([job('x'), job('b')], 'b'))
  test('that fits two devices of the parcel means neither', () => check([job('a'), job('b')], undefined))
  test('of a device that is not of this parcel is left to others', () => check([job('x')], undefined))
  test('of a parcel is left to others', () => check([{ target: { kind: 'parcel', parcel_id: 'a' }, words: '' }], undefined))
})

test('a device is found, and can be taken back', () => {
  expect(toggled([], 'a')).toEqual(['a'])
  expect(toggled(['a', 'b'], 'a')).toEqual(['b'])
})

test('the count is said before it is recorded', () => {
  expect(countWords({ ...emptyCount(), found: ['a'] }, devices).words).toBe('1 of 2 found, 1 missing')
  expect(countWords({ found: ['a', 'b'], extra: [emptyExtra()], note: '' }, devices).words).toBe('2 of 2 found, 1 extra')
})

test('a draft that names a device which is no longer announced does not count it', () => {
  expect(countWords({ ...emptyCount(), found: ['gone', 'a'] }, devices).found).toBe(1)
})
