/** One answer of the backend that stays true: asked once, asked again when an event says that it changed. */
import { asBackendError, call as callBackend, type BackendError } from '../backend'

type Call = <Response>(name: string, request: unknown) => Promise<Response>

export class Live<Response> {
  /** The last good answer; stays while a new one is on its way. */
  value = $state.raw<Response | undefined>(undefined)
  error = $state.raw<BackendError | undefined>(undefined)
  asking = $state(false)
  #asked = 0
  #name: string
  #request: unknown
  readonly #call: Call

  constructor(name: string, request: unknown = null, call: Call = callBackend) {
    this.#name = name
    this.#request = request
    this.#call = call
  }

  /** Takes an answer that came another way, such as the view a command gives after it recorded; an older question is forgotten. */
  take(value: Response): void {
    this.#asked++
    this.value = value
    this.error = undefined
    this.asking = false
  }

  /** Asks, and keeps only the newest answer: a slow old one never replaces it. */
  async refresh(request: unknown = this.#request): Promise<void> {
    this.#request = request
    const asked = ++this.#asked
    this.asking = true
    try {
      const value = await this.#call<Response>(this.#name, request)
      if (asked !== this.#asked) return
      this.value = value
      this.error = undefined
    } catch (cause) {
      if (asked === this.#asked) this.error = asBackendError(cause)
    } finally {
      if (asked === this.#asked) this.asking = false
    }
  }
}
