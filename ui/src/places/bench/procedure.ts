/** Where the work stands in the procedures it goes by. What may be recorded is decided by the backend. */
import type { JobProcedure, PersonBrief, ProcedureStep } from '../../backend/generated'

/** The step of a procedure that is recorded next. */
export interface StepPlace {
  begun_id: string
  index: number
  step: ProcedureStep
}

/** The first step that is open, over all procedures, the latest begun first. */
export function nextPlace(procedures: JobProcedure[]): StepPlace | undefined {
  const open = procedures.findLast(({ next }) => next !== null)
  if (!open || open.next === null) return undefined
  const place = open.places[open.next]
  return place && { begun_id: open.mark.entry_id, index: open.next, step: place.step }
}

/** What one place says of itself: passed, held, next, or nothing yet. */
export function placeWords(procedure: JobProcedure, index: number): string {
  const place = procedure.places[index]
  if (!place) return ''
  if (place.passed) return place.step.hold_point ? 'passed' : 'done'
  if (place.recorded) return place.step.hold_point ? 'not passed yet' : 'done'
  return procedure.next === index ? 'next' : ''
}

/** Who may have seen a step: any colleague, and at a hold point that asks for a witness, a second pair of eyes. */
export function witnessesOf(people: PersonBrief[], own: string | undefined, place: Pick<StepPlace, 'step'> | undefined): PersonBrief[] {
  return people.filter((person) => !person.left && person.person_id !== own && (!place?.step.needs_witness || person.roles.includes('second_pair')))
}
