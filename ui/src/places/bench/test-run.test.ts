import { beforeEach, expect, test } from 'vitest'
import { BackendError } from '../../backend'
import type { Comparison, JobView, MarkedResult, ResultInput, SuggestedTest, TestKind } from '../../backend/generated'
import { rowsOf, TestRun } from './test-run.svelte'

const limits = { low_micro: null, high_micro: null }
const definition = (code: string, kind: TestKind): SuggestedTest =>
  ({ test: { code, version: 1, group: 'g', title: code, how: '', attached: '', device_kinds: ['phone'], fault_words: [], kind, caution: '' }, suggested: false, limits_words: '' })
const compared = (code: string, more: Partial<Comparison> = {}): Comparison => ({ code, title: code, reason: 'chosen', before: null, after: null, joint: 'not_proved', ...more })
const some = {} as MarkedResult

let sent: [string, ResultInput][]
let refuse: string | undefined
let run: TestRun

beforeEach(() => {
  sent = []
  refuse = undefined
  run = new TestRun('after', async (code, result) => {
    if (code === refuse) throw new BackendError({ code: 'field', field: 'value', message: 'Write a number.' })
    sent.push([code, result])
    return {} as JobView
  }, () => undefined)
})

const settled = async () => {
  while (run.waiting > 0) await Promise.resolve()
}
const show = (...tests: [string, TestKind][]) => run.show(rowsOf(tests.map(([code]) => compared(code)), tests.map(([code, kind]) => definition(code, kind)), 'after'))
const plain: TestKind = { kind: 'pass_fail' }
const measured: TestKind = { kind: 'reading', unit: 'ampere', limits }

test('forty tests that pass are forty keys', async () => {
  show(...Array.from({ length: 40 }, (_, index): [string, TestKind] => [`t${index}`, plain]))
  for (let index = 0; index < 40; index++) run.take('p')
  await settled()
  expect(sent.map(([code, { kind }]) => `${code} ${kind}`)).toEqual(Array.from({ length: 40 }, (_, index) => `t${index} pass`))
})

test('a measured test asks for its reading and records it as typed', async () => {
  show(['charge', measured], ['display', plain])
  run.take('p')
  expect([run.asking, sent]).toEqual(['reading', []])
  run.value = '0,94'
  run.submit()
  await settled()
  expect([sent, run.row?.code]).toEqual([[['charge', { kind: 'reading', value: '0,94', uncertainty: '' }]], 'display'])
})

test('a reading is not asked for where there is none', () => {
  show(['display', plain])
  run.take('r')
  expect(run.asking).toBeUndefined()
})

test('a test that can’t be done asks why', async () => {
  show(['baro', plain])
  run.take('n')
  run.why = 'no reference'
  run.submit()
  await settled()
  expect(sent).toEqual([['baro', { kind: 'not_testable', why: 'no reference' }]])
})

test('a refusal leads back to its test with what was typed', async () => {
  refuse = 'charge'
  show(['charge', measured], ['display', plain])
  run.take('r')
  run.value = '0.9.4'
  run.submit()
  await settled()
  expect([run.row?.code, run.value, run.asking, run.refused?.error.message]).toEqual(['charge', '0.9.4', 'reading', 'Write a number.'])
})

test('a new view keeps the cursor on its test', () => {
  show(['a', plain], ['b', plain])
  run.go(1)
  show(['new', plain], ['a', plain], ['b', plain])
  expect(run.row?.code).toBe('b')
})

test('a neighbour opened by heat is tested after, not before', () => {
  const rows = [compared('a'), compared('n', { reason: 'neighbour' })]
  expect(rowsOf(rows, [], 'before').map(({ code }) => code)).toEqual(['a'])
  expect(rowsOf(rows, [], 'after').map(({ code }) => code)).toEqual(['a', 'n'])
})

test('the run begins at the first test without a result', () => {
  run.show(rowsOf([compared('a', { after: some }), compared('b')], [], 'after'))
  run.toOpen()
  expect([run.row?.code, run.done]).toEqual(['b', 1])
})
