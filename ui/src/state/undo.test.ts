import { expect, test } from 'vitest'
import type { TrailLine } from '../backend/generated'
import { added, undoOf } from './undo'

const line = (entry_id: string, actor_id = 'me', withdrawn = false): TrailLine => ({ mark: { entry_id, actor_id, at_ms: 1 }, words: entry_id, biz_step: null, withdrawn, kept_because: null })
const check = (before: TrailLine[], after: TrailLine[], expected: string[]) => expect(added(before, after, 'me')).toEqual(expected)

test('a quote and its agreement by standing limit are taken back together, the agreement first', () => check([line('a')], [line('a'), line('quote'), line('agreed')], ['agreed', 'quote']))
test("an entry of another person that came in between is left alone", () => check([line('a')], [line('a'), line('theirs', 'you'), line('mine')], ['mine']))
test('what was withdrawn already is not withdrawn again', () => check([], [line('gone', 'me', true)], []))
test('an action that added nothing offers no way back', () => expect(undoOf({ kind: 'job', id: 'j' }, [], async () => undefined)).toBeUndefined())
