/** Names of the people an answer mentions. */
import type { PersonBrief } from '../backend/generated'

/** The person's name; someone who is not known here yet is said to be so. */
export function nameOf(people: PersonBrief[], person_id: string): string {
  return people.find((person) => person.person_id === person_id)?.name ?? 'someone not known here yet'
}
