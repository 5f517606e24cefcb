import { expect, test } from 'vitest'
import type { ParcelPaperKind, TransportPlan, TransportVerdict } from '../../backend/generated'
import { copiesOf, notKnown, planWords, samePlan, sizeOf } from './transport'

const check = (kind: ParcelPaperKind, copies: number, pieces: number, words: string) => expect(copiesOf({ kind, copies, pieces })).toBe(words)

test('one mark for one package', () => check('battery_mark', 1, 1, '1 copy, with 1 mark: one for each package'))
test('the marks of three packages stand on one copy', () => check('battery_mark', 1, 3, '1 copy, with 3 marks: one for each package'))
test('for more packages than fit on a copy, it is printed again', () => check('battery_mark', 2, 20, '2 copies, with 20 marks each: one for each package'))
test('each package gets its words', () => check('words', 3, 2, '3 copies: one for each package'))
test('the words of a single package are one copy', () => check('words', 1, 2, '1 copy'))
test('one instruction is enough', () => check('packing_instruction', 1, 1, '1 copy'))

test('what has a lawful size says how it must be printed', () => {
  expect(sizeOf({ true_size: true })).toContain('100 %, no scaling')
  expect(sizeOf({ true_size: false })).not.toContain('100')
})

test('a rule that was not read in its own text is said in its words, not by its id', () => {
  const rules = [
    { id: 'R22', text: 'inside its device', clause: 'PI 967-II', certainty: 'secondary' },
    { id: 'R17', text: 'loose', clause: 'SP 188', certainty: 'primary' },
  ] as TransportVerdict['rules']
  const unknowns = ['the carrier: its own terms may be stricter', "R22 (PI 967-II) rests on texts about the rule, not on the rule's own text"]
  const [carrier, rule, ...more] = notKnown({ unknowns, rules })
  expect(carrier).toEqual({ text: 'The carrier: its own terms may be stricter.', note: '' })
  expect(rule?.text).toBe('Inside its device.')
  expect(rule?.note).toMatch(/^PI 967-II: /)
  expect(more).toEqual([])
})

const plan: TransportPlan = {
  regime: 'ADR', mode: 'GROUND', carrier: 'UPS', packages: 1, powered_off: true, batteries_original: null, charge_rated_pct: null, charge_shown_pct: 25, outside_us_lower_48: null,
}

test.each<[Partial<TransportPlan>, string]>([
  [{}, 'by road, European road (ADR), UPS, 1 package'],
  [{ carrier: 'none', packages: 2 }, 'by road, European road (ADR), carrier not chosen, 2 packages'],
  [{ mode: 'POST_INTL', carrier: 'other' }, 'post, abroad, European road (ADR), another carrier, 1 package'],
])('what a verdict was given for is said in words: %j', (changes, words) => expect(planWords({ ...plan, ...changes })).toBe(words))

test.each<[Partial<TransportPlan>, boolean]>([[{}, true], [{ charge_shown_pct: null }, false], [{ mode: 'POST_INTL' }, false], [{ powered_off: null }, false]])(
  'a form that says %j beside it is the same: %s', (changes, same) => expect(samePlan({ ...plan, ...changes }, plan)).toBe(same))
