import { expect, test } from 'vitest'
import type { Block, JobView } from '../../backend/generated'
import { noteOf } from './outcome'

const after = (...blocks: Block[]) => ({ job: { overrides: blocks.map((block) => ({ value: { block, reason: 'so', tests: [] } })) } }) as unknown as JobView

test('repaired says that all was shown, when it was', () => expect(noteOf(after(), 'repaired')).toContain('every heated neighbour is proved'))
test('repaired does not say that all was shown where an owner passed what was not', () => expect(noteOf(after('neighbour_not_proved'), 'repaired')).toContain('was passed with a reason'))
test('a passed hold says nothing of the repair', () => expect(noteOf(after('held'), 'repaired')).toContain('is fixed'))
test('other outcomes claim nothing that was passed', () => expect(noteOf(after('made_worse'), 'not_repairable')).toContain("can't be repaired"))
