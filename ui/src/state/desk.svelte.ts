/** What the backend says about the whole desktop: the lab, who is here, the sync line, what waits. Kept true by its events. */
import { asBackendError, type BackendError } from '../backend'
import { choosePerson, state, type DeskState, type PersonBrief } from '../backend/generated'
import { onChanged } from './changes'
import { lab } from './lab.svelte'
import { scanLine } from './scanline.svelte'

/** Events come in bursts while entries are fetched; the state is asked for once after each. */
const PAUSE_MS = 120

export class DeskAround {
  value = $state.raw<DeskState | undefined>(undefined)
  error = $state.raw<BackendError | undefined>(undefined)
  #timer: ReturnType<typeof setTimeout> | undefined
  #asked = 0

  /** Takes a new state, from an answer or from the backend itself. */
  take(value: DeskState): void {
    this.#asked++
    this.value = value
    this.error = undefined
    lab.name = value.lab?.name ?? ''
    lab.person = value.person ? { id: value.person.person_id, name: value.person.name } : undefined
    if (!value.lab) return
    lab.currency = value.lab.currency
    if (value.lab.zone !== lab.locale.zone) lab.locale = { ...lab.locale, zone: value.lab.zone }
  }

  async refresh(): Promise<void> {
    const asked = ++this.#asked
    try {
      const value = await state()
      if (asked === this.#asked) this.take(value)
    } catch (cause) {
      if (asked === this.#asked) this.error = asBackendError(cause)
    }
  }

  /** Follows the backend until the returned function is called. */
  start(): () => void {
    void this.refresh()
    const stop = onChanged((changed) => {
      if (changed.kind === 'picture') scanLine.say({ kind: 'recorded', words: changed.sentence })
      clearTimeout(this.#timer)
      this.#timer = setTimeout(() => void this.refresh(), PAUSE_MS)
    })
    return () => {
      clearTimeout(this.#timer)
      stop()
    }
  }

  /** Asks again once the nearest reading of a cell has become due, so that it shows as overdue on a screen that is left open. */
  followDue(): () => void {
    const due_ms = this.value?.next_reading_due_ms
    if (due_ms === null || due_ms === undefined) return () => undefined
    const timer = setTimeout(() => void this.refresh(), Math.min(Math.max(due_ms - Date.now() + 1000, 1000), 2 ** 31 - 1))
    return () => clearTimeout(timer)
  }

  /** Says who is here. */
  async choose(person: PersonBrief): Promise<void> {
    this.take(await choosePerson({ person_id: person.person_id }))
  }

  /** Whether the person who is here may do what only an owner may. */
  get isOwner(): boolean {
    return this.value?.person?.roles.includes('owner') ?? false
  }
}

export const desk = new DeskAround()
