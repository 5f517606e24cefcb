/** Names of the people an answer mentions. */
import type { PersonBrief } from '../backend/generated'
import { desk } from '../state/desk.svelte'

/** The person's name, from the answer or else from the lab's people; someone who is not known here yet is said to be so. */
export function nameOf(people: PersonBrief[], person_id: string): string {
  const is = (person: PersonBrief) => person.person_id === person_id
  return (people.find(is) ?? desk.value?.people.find(is))?.name ?? 'someone not known here yet'
}
