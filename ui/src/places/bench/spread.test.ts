import { describe, expect, test } from 'vitest'
import { useDoor, type Door } from '../../backend'
import type { Comparison, JobView, Marked, MarkedResult, PhotoAdded } from '../../backend/generated'
import { comparedOf, pairsOf, stationsOf, wayOn } from './spread'

useDoor({ photoUrl: (hash: string) => `photo:${hash}` } as unknown as Door)

const mark = { entry_id: 'e', actor_id: 'p', at_ms: 5 }
const people = [{ person_id: 'p', name: 'Ines K.', roles: [], of_a_shop: false, left: false }]
const result = (verdict: MarkedResult['verdict'], outcome: MarkedResult['result']['outcome'], more: Partial<MarkedResult> = {}): MarkedResult =>
  ({ mark, verdict, close: false, judgement: '', replaced: false, result: { phase: 'before', code: 'c', version: 1, title: 't', outcome, note: '', photos: [], taken: { definition_id: null, needs: 'nothing', attached: '', assembly: { kind: 'closed' }, instrument: '', repeats_micro: [], trace: null } }, ...more })
const row = (more: Partial<Comparison>): Comparison => ({ code: 'charge', title: 'Charging current', reason: 'chosen', version: 1, definition_id: null, before: null, after: null, differing: [], joint: 'not_proved', why: [], proved: false, fails: false, worse: false, ...more })
const view = (comparison: Comparison[], photos: Marked<PhotoAdded>[] = [], closed = false) =>
  ({ people, job: { job_id: 'j', parcel_id: 'P', packed: null, comparison, photos, outcome: { heads: closed ? [{}] : [] } } }) as unknown as JobView
const shown = (more: Partial<Comparison>, closed = false) => comparedOf(view([row(more)], [], closed))[0]

describe('a row of the spread', () => {
  test('keeps its joint open until something is known after', () => expect(shown({ before: result('fail', { kind: 'fail' }) })?.verdict).toBeNull())
  test('is not proved once the job is closed without an after', () => expect(shown({}, true)?.verdict).toBe('not proved'))
  test('is not proved when the after says nothing', () => expect(shown({ after: result('not_testable', { kind: 'not_testable', why: 'no meter' }) })?.verdict).toBe('not proved'))
  test('that was made worse says worse', () => expect(shown({ joint: 'made_worse', after: result('fail', { kind: 'fail' }) })?.verdict).toBe('worse'))
  test('says why it could not be tested', () => expect(shown({ before: result('not_testable', { kind: 'not_testable', why: 'no charge in the cell' }) })?.before).toMatchObject({ result: 'not tested', note: 'no charge in the cell' }))
  test('gives the limit beside a reading that fails, and the uncertainty', () => {
    const outcome = { kind: 'reading', reading: { micro: 20_000, unit: 'ampere', uncertainty_micro: 10_000 }, limits: { low_micro: 500_000, high_micro: null }, rule: 'simple_acceptance' } as const
    expect(shown({ before: result('fail', outcome, { close: true }) })?.before).toMatchObject({ result: 'fail', reading: '0.02 A', note: 'limit 0.5 A or more; ± 0.01 A; close to its limit', who: 'Ines K.' })
  })
  test('says which test shows the declared fault', () => expect(shown({ reason: 'fault' })?.name).toBe('Charging current (the fault)'))
})

describe('pictures', () => {
  const photo = (hash: string, place: PhotoAdded['place'], beside: string | null = null, caption = ''): Marked<PhotoAdded> =>
    ({ mark, value: { hash, place, caption, beside, size_bytes: 1, width_px: 1, height_px: 1 } })
  const pairs = (...photos: Marked<PhotoAdded>[]) => pairsOf(view([], photos)).map(({ before, after, title }) => [before?.src ?? null, after?.src ?? null, title])

  test('stand beside the one they were taken for', () => expect(pairs(photo('a', 'before', null, 'port'), photo('b', 'after', 'a'))).toEqual([['photo:a', 'photo:b', 'port']]))
  test('from before wait for their after', () => expect(pairs(photo('a', 'diagnosis'))).toEqual([['photo:a', null, 'Picture']]))
  test('from after without a before stand alone', () => expect(pairs(photo('b', 'after', 'gone'))).toEqual([[null, 'photo:b', 'Picture']]))
  test('taken again replace the earlier one in the pair', () => expect(pairs(photo('a', 'before'), photo('b', 'after', 'a'), photo('c', 'after', 'a'))).toEqual([['photo:a', 'photo:c', 'Picture']]))
  test('of the case and the cell are no pairs', () => expect(pairs(photo('a', 'condition'), photo('b', 'cell'))).toEqual([]))
})

test('a blocked station says in short what it waits for, and leads to where it is worked at', () => {
  const stop = { station: 'work', state: 'blocked', at_ms: null, missing: [{ block: 'not_agreed', sentence: 'The shop has not answered.', can_be_overridden: false }] }
  const job = { ...view([]).job, route: [stop, { station: 'dock', state: 'done', at_ms: 7, missing: [] }] }
  expect(stationsOf({ ...view([]), job } as unknown as JobView)).toMatchObject([
    { id: 'work', state: 'blocked', missing: ["the shop's answer"], href: '#/bench/j/work' },
    { id: 'dock', state: 'done', done_ms: 7, href: '#/dock/P' },
  ])
})

describe('the way on', () => {
  const stop = (station: string, state: string, missing: unknown[] = []) => ({ station, state, at_ms: null, missing })
  const job = { ...view([]).job, next: 'work', route: [stop('quote', 'done'), stop('work', 'next'), stop('after', 'later'), stop('report', 'later', [{}])] }
  const check = (leaf: string, link: string | undefined, more: object = {}) => expect(wayOn({ ...view([]), job: { ...job, ...more } } as unknown as JobView, leaf)).toBe(link)

  test('from the spread leads to the next station', () => check('spread', '#/bench/j/work'))
  test('from the next station leads to the one after it', () => check('work', '#/bench/j/after'))
  test('ends where what follows may not be entered yet', () => check('after', undefined, { next: 'after' }))
  test('of a job that is through leads nowhere', () => check('spread', undefined, { next: null }))
})
