import { expect, test } from 'vitest'
import { millimetres } from './board'

test.each([
  [900, '0.9'], [12_000, '12'], [5_050, '5.05'], [100, '0.1'], [null, ''], [undefined, ''],
])('%s micrometres are typed %j', (um, typed) => expect(millimetres(um)).toBe(typed))
