import { beforeEach, expect, test } from 'vitest'
import { BackendError } from '../../backend'
import type { Comparison, JobView, MarkedResult, ResultInput, SuggestedTest, TestKind } from '../../backend/generated'
import { resultSaid, rowsOf, TestRun } from './test-run.svelte'

const limits = { low_micro: null, high_micro: null }
const definition = (code: string, kind: TestKind): SuggestedTest =>
  ({ test: { code, version: 1, group: 'g', title: code, how: '', attached: '', device_kinds: ['phone'], fault_words: [], kind, caution: '', needs: 'nothing', instrument: { name: '', reading_ppm: 0, counts: 0, count_micro: 0, low_micro: null, high_micro: null }, safety_limit: false, retired: false }, suggested: false, why: '', limits_words: '', rule_words: '' })
const compared = (code: string, more: Partial<Comparison> = {}): Comparison => ({ code, title: code, reason: 'chosen', version: 1, definition_id: null, before: null, after: null, differing: [], joint: 'not_proved', why: [], proved: false, fails: false, worse: false, ...more })
const some = { result: {} } as MarkedResult
const viewOf = (comparison: Comparison[], done_with: SuggestedTest[] = []) => ({ job: { comparison, results: [] }, done_with })

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
const show = (...tests: [string, TestKind][]) => run.show(rowsOf(viewOf(tests.map(([code]) => compared(code)), tests.map(([code, kind]) => definition(code, kind))), 'after'))
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

test('what was typed for a test waits there while the cursor is elsewhere', () => {
  show(['display', plain], ['sound', plain])
  run.note = 'a bright dot'
  run.go(1)
  expect(run.note).toBe('')
  run.go(0)
  expect(run.note).toBe('a bright dot')
})

test('what was typed for one test goes with no other’s result, and is gone once it is recorded', async () => {
  const notes: string[] = []
  run = new TestRun('after', async (code, _, { note }) => {
    notes.push(`${code}: ${note}`)
    return {} as JobView
  }, () => undefined)
  show(['display', plain], ['sound', plain])
  run.note = 'a bright dot'
  run.go(1)
  run.take('p')
  run.go(0)
  run.take('p')
  run.go(0)
  await settled()
  expect([notes, run.note]).toEqual([['sound: ', 'display: a bright dot'], ''])
})

test('a new view keeps the cursor on its test', () => {
  show(['a', plain], ['b', plain])
  run.go(1)
  show(['new', plain], ['a', plain], ['b', plain])
  expect(run.row?.code).toBe('b')
})

test('a neighbour opened by heat is tested after, not before', () => {
  const rows = [compared('a'), compared('n', { reason: 'neighbour' })]
  expect(rowsOf(viewOf(rows), 'before').map(({ code }) => code)).toEqual(['a'])
  expect(rowsOf(viewOf(rows), 'after').map(({ code }) => code)).toEqual(['a', 'n'])
})

test('the run begins at the first test without a result', () => {
  run.show(rowsOf(viewOf([compared('a', { after: some }), compared('b')]), 'after'))
  run.toOpen()
  expect([run.row?.code, run.done]).toEqual(['b', 1])
})

test('the digits of a reading begin it, and the number of an answer takes that answer', async () => {
  const answers = [{ words: 'clean', passes: true }, { words: 'a line', passes: false }]
  show(['charge', measured], ['picture', { kind: 'choice', answers }], ['display', plain])
  expect([run.typed('0.94'), run.asking, run.value]).toEqual([true, 'reading', '0.94'])
  run.submit()
  expect([run.typed('3'), run.typed('2')]).toEqual([false, true])
  expect(run.typed('1')).toBe(false)
  await settled()
  expect(sent.map(([, result]) => result)).toEqual([{ kind: 'reading', value: '0.94', uncertainty: '' }, { kind: 'choice', words: 'a line' }])
})

test('pass takes the one answer that passes; of several one is chosen', async () => {
  const one = [{ words: 'clean', passes: true }, { words: 'a line', passes: false }]
  const two = [...one, { words: 'clean, a little dim', passes: true }]
  show(['picture', { kind: 'choice', answers: one }], ['light', { kind: 'choice', answers: two }], ['display', plain])
  run.take('p')
  run.take('p')
  expect(run.row?.code).toBe('light')
  await settled()
  expect(sent).toEqual([['picture', { kind: 'choice', words: 'clean' }]])
})

test('one key starts the stopwatch and the next puts its time where the reading is typed', () => {
  show(['start', { kind: 'timed', limits }])
  run.take('s')
  expect([run.watch.running, run.asking]).toEqual([true, undefined])
  run.take('s')
  expect([run.watch.running, run.asking]).toEqual([false, 'reading'])
  expect(run.value).toMatch(/^\d+\.\d$/)
})

test('how the device stands goes with every result until it is said otherwise', async () => {
  const stood: unknown[] = []
  run = new TestRun('after', async (_code, _result, { assembly }) => {
    stood.push(assembly)
    return {} as JobView
  }, () => undefined)
  show(['a', plain], ['b', plain])
  run.take('p')
  run.stands = 'parts_off'
  run.parts_off = 'display off'
  run.take('p')
  await settled()
  expect(stood).toEqual([{ kind: 'closed' }, { kind: 'parts_off', parts: 'display off' }])
})

test('what is said of a reading names its judgement and its unit', () => {
  const failing = { verdict: 'fail', result: { outcome: { kind: 'reading', reading: { micro: 490_000, unit: 'ampere', uncertainty_micro: null } } } } as MarkedResult
  expect(resultSaid(viewOf([compared('charge', { after: failing })]), 'after', 'charge')).toBe('fail, 0.49 A')
})

test('a stopwatch runs on while another test is done, and is read at its own', async () => {
  show(['start', { kind: 'timed', limits }], ['display', plain], ['wake', { kind: 'timed', limits }])
  run.take('s')
  run.go(1)
  run.take('p')
  await settled()
  expect([run.row?.code, run.watch.running, run.times('start')]).toEqual(['wake', false, true])
  run.go(0)
  run.take('s')
  expect([run.watch.running, run.asking]).toEqual([false, 'reading'])
  run.submit()
  await settled()
  run.go(0)
  expect([run.watch.running, run.watch.elapsed_ms, sent.map(([code]) => code)]).toEqual([false, 0, ['display', 'start']])
})
