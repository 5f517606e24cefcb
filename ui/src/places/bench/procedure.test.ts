import { expect, test } from 'vitest'
import type { JobProcedure, PersonBrief, ProcedurePlace, Role } from '../../backend/generated'
import { nextPlace, placeWords, witnessesOf } from './procedure'

const place = (text: string, passed: boolean, hold_point = false): ProcedurePlace => ({ step: { text, hold_point, needs_witness: hold_point }, recorded: null, witness_id: null, result: '', passed })
const procedure = (begun: string, next: number | null, places: ProcedurePlace[]): JobProcedure => ({
  mark: { entry_id: begun, actor_id: 'p', at_ms: 0 }, next, places,
  begun: { definition_id: 'd', procedure: { code: 'HP-1', version: 1, name: 'n', steps: places.map(({ step }) => step), retired: false } },
})

test('the next step is that of the procedure begun last, as long as one is open', () => {
  const old = procedure('a', 0, [place('take off', false)])
  const done = procedure('b', null, [place('put on', true)])
  expect(nextPlace([old, done])).toMatchObject({ begun_id: 'a', index: 0 })
  expect(nextPlace([done])).toBeUndefined()
})

test('a hold point that was looked at and not passed says so', () => {
  const held = { ...place('seen under the microscope', false, true), recorded: { entry_id: 'e', actor_id: 'p', at_ms: 1 } }
  expect(placeWords(procedure('a', 0, [held, place('close', false)]), 0)).toBe('not passed yet')
  expect(placeWords(procedure('a', 0, [held, place('close', false)]), 1)).toBe('')
})

test('a hold point with a witness offers those who witness, and any other step every colleague', () => {
  const person = (person_id: string, roles: Role[], left = false): PersonBrief => ({ person_id, name: person_id, roles, of_a_shop: false, left })
  const people = [person('me', ['owner', 'second_pair']), person('eyes', ['second_pair']), person('dock', ['receiver']), person('gone', ['second_pair'], true)]
  const names = (held: boolean) => witnessesOf(people, 'me', { step: { text: '', hold_point: held, needs_witness: held } }).map(({ person_id }) => person_id)
  expect([names(true), names(false), witnessesOf(people, 'me', undefined).length]).toEqual([['eyes'], ['eyes', 'dock'], 2])
})
