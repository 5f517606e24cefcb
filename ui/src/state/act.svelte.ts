/** One thing a person does: it runs, and what it was refused for stands where it belongs until the next try. */
import { asBackendError, type BackendError } from '../backend'
import type { Missing } from '../backend/generated'
import { actionStarts } from './action'
import { who } from './who.svelte'

export class Act {
  busy = $state(false)
  error = $state.raw<BackendError | undefined>(undefined)

  /** Runs it, unless it is running already. Gives its answer, or nothing when it was refused. */
  async run<Answer>(what: () => Promise<Answer>): Promise<Answer | undefined> {
    if (this.busy) return undefined
    this.busy = true
    this.error = undefined
    actionStarts()
    try {
      return await what()
    } catch (cause) {
      this.error = asBackendError(cause)
      if (this.error.code === 'no_person') who.ask()
      return undefined
    } finally {
      this.busy = false
    }
  }

  /** What is wrong with one field, to be shown beside it. */
  field(name: string): string | null {
    return this.error?.field === name ? this.error.message : null
  }

  /** What is wrong with the whole, or with a field that this form does not show. */
  rest(shown: string[] = []): string | null {
    if (!this.error || this.missing.length > 0) return null
    return this.error.field !== null && shown.includes(this.error.field) ? null : this.error.message
  }

  get missing(): Missing[] {
    return (this.error?.missing ?? []) as Missing[]
  }

  forget(): void {
    this.error = undefined
  }
}
