import { beforeEach, expect, test } from 'vitest'
import { BackendError, useDoor } from '../backend'
import { scan, takeScans } from './scanning'
import { scanLine } from './scanline.svelte'

let answer: unknown
beforeEach(() => {
  location.hash = ''
  useDoor({
    call: async <Response>() => {
      if (answer instanceof Error) throw answer
      return answer as Response
    },
    on: () => () => {},
    photoUrl: () => '',
    putPhoto: () => Promise.reject(new Error('no picture is taken in here')),
    checkReport: () => Promise.reject(new Error("no report is checked here")),
    openPaper: async () => {},
    openFile: async () => {},
  })
})

const job = { target: { kind: 'job', job_id: 'j1' }, words: 'Job 7K3M-2Q9X-T' }
const parcel = { target: { kind: 'parcel', parcel_id: 'p1' }, words: 'Parcel 0B8W' }

test('the one thing a scan means is opened', async () => {
  answer = { text: 'x', matches: [job], sentence: 'Job 7K3M-2Q9X-T is open.', warning: '', offer_take_in: false }
  await scan('x')
  expect(location.hash).toBe('#/bench/j1')
  expect(scanLine.answer).toMatchObject({ kind: 'found', words: 'Job 7K3M-2Q9X-T is open.', note: null })
})

test('several meanings are offered and none is chosen', async () => {
  answer = { text: 'x', matches: [job, parcel], sentence: 'Two things go by x.', warning: '', offer_take_in: false }
  await scan('x')
  expect(location.hash).toBe('')
  expect(scanLine.answer.offers?.map(({ words }) => words)).toEqual(['Job 7K3M-2Q9X-T', 'Parcel 0B8W'])
})

test('no match says so, passes the warning on, and offers to take it in', async () => {
  answer = { text: 'RR1', matches: [], sentence: 'Nothing here goes by RR1.', warning: 'The check digit is wrong.', offer_take_in: true }
  await scan('RR1', 'Taken from a field.')
  expect(scanLine.answer).toMatchObject({ kind: 'no match', note: 'The check digit is wrong. Taken from a field.' })
  await scanLine.answer.offers?.[0]?.run()
  expect(location.hash).toBe('#/dock/new/RR1')
})

test('a failure is said in the line, and the line can be used again', async () => {
  answer = new BackendError({ code: 'failed', message: 'The logbook is on a full disk.' })
  await scan('x')
  expect(scanLine.answer).toMatchObject({ kind: 'refused', words: 'The logbook is on a full disk.' })
})

test('the place that is open has the first word', async () => {
  answer = { text: 'x', matches: [job], sentence: 'never asked', warning: '', offer_take_in: false }
  const taken: string[] = []
  const end = takeScans(async (text) => taken.push(text) > 0)
  await scan('WB:J:1')
  end()
  expect(taken).toEqual(['WB:J:1'])
  expect(location.hash).toBe('')
})
