import { expect, test } from 'vitest'
import type { JobView, SuggestedTest } from '../../backend/generated'
import { firstChoice, grouped, orderedCodes } from './test-choice'

const of = (code: string, group: string, suggested = false) => ({ test: { code, group }, suggested }) as SuggestedTest
const tests = [of('start', 'power', true), of('charge', 'charging'), of('time', 'power')]
const view = (tests: SuggestedTest[], heads: unknown[] = []) => ({ tests, job: { tests: { heads } } }) as unknown as JobView

test('a single suggestion is taken as the one that shows the fault', () => expect(firstChoice(view(tests))).toEqual({ codes: ['start'], shows_fault: ['start'] }))
test('of several suggestions a person says which shows the fault', () => expect(firstChoice(view([...tests, of('drain', 'power', true)]))).toEqual({ codes: ['start', 'drain'], shows_fault: [] }))
test('what was chosen before stands ticked', () => {
  const chosen = [{ code: 'charge', title: '', shows_fault: true }, { code: 'time', title: '', shows_fault: false }]
  expect(firstChoice(view(tests, [{ value: { tests: chosen } }]))).toEqual({ codes: ['charge', 'time'], shows_fault: ['charge'] })
})
test('tests stand under their groups', () => expect(grouped(tests).map(({ name, tests }) => [name, tests.length])).toEqual([['power', 2], ['charging', 1]]))
test('they are done in the order of the screen, whatever order they were ticked in', () => expect(orderedCodes(tests, ['time', 'charge', 'start'])).toEqual(['start', 'time', 'charge']))
