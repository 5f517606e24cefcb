import { expect, test } from 'vitest'
import type { JobView } from '../../backend/generated'
import { disputesOf } from './disputes'

const head = (entry_id: string, outcome: string, words = '') => ({ mark: { entry_id, actor_id: 'p', at_ms: 1 }, value: { outcome, words, warranty_days: 0 } })
const empty = { heads: [] }
const check = (heads: unknown[], expected: string[][]) => {
  const job = { outcome: { heads }, quote: empty, device: empty, identity: empty, signs: empty, accessories: empty, tests: empty }
  expect(disputesOf({ job, people: [] } as unknown as JobView, 'en').map(({ sides }) => sides.map(({ value }) => value))).toEqual(expected)
}

test('two outcomes are a disagreement, each side in words', () => check([head('a', 'repaired'), head('b', 'repaired_in_part', 'no sound')], [['repaired', 'repaired in part: no sound']]))
test('one outcome is none', () => check([head('a', 'repaired')], []))
test('two people who said the same do not disagree', () => check([head('a', 'repaired'), head('b', 'repaired')], []))
