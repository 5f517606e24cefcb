/**
 * What is being typed, kept across crashes and changes of place until it is recorded or thrown away.
 * The backend keeps it; the browser's own storage keeps it too, at once and without waiting, for when the backend
 * can't. Passcodes and other secrets never go in a draft: keep those in the component.
 */
import { call as callBackend } from '../backend'

interface Kept {
  saved_ms: number
  value: unknown
}

export interface DraftKeeping {
  call: <Response>(name: string, request: unknown) => Promise<Response>
  storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>
  now_ms: () => number
  /** Time without a key press before the backend is told. */
  pause_ms: number
}

function parseKept(text: string | null | undefined): Kept | undefined {
  if (text === null || text === undefined) return undefined
  try {
    const kept = JSON.parse(text) as Partial<Kept>
    return typeof kept.saved_ms === 'number' ? { saved_ms: kept.saved_ms, value: kept.value } : undefined
  } catch {
    return undefined
  }
}

export class Drafts {
  readonly #keeping: DraftKeeping
  #timers = new Map<string, ReturnType<typeof setTimeout>>()

  constructor(keeping: DraftKeeping) {
    this.#keeping = keeping
  }

  /** Returns what was kept under this key: the newer of the two copies, or nothing. */
  async load<Value>(key: string): Promise<Value | undefined> {
    const here = parseKept(this.#stored(key))
    const answer = await this.#keeping.call<{ text: string | null } | null>('load_draft', { key }).catch(() => null)
    const there = parseKept(answer?.text)
    const newest = !there || (here && here.saved_ms > there.saved_ms) ? here : there
    return newest?.value as Value | undefined
  }

  /** Keeps a value. Cheap enough for every key press. */
  keep(key: string, value: unknown): void {
    const text = JSON.stringify({ saved_ms: this.#keeping.now_ms(), value } satisfies Kept)
    try {
      this.#keeping.storage.setItem(`draft:${key}`, text)
    } catch {
      // A full or forbidden storage leaves the backend's copy, which is told below.
    }
    this.#later(key, () => this.#keeping.call('save_draft', { key, text }))
  }

  /** Forgets a draft, because it was recorded or thrown away. */
  async clear(key: string): Promise<void> {
    clearTimeout(this.#timers.get(key))
    this.#timers.delete(key)
    this.#keeping.storage.removeItem(`draft:${key}`)
    await this.#keeping.call('forget_draft', { key }).catch(() => undefined)
  }

  #stored(key: string): string | null {
    try {
      return this.#keeping.storage.getItem(`draft:${key}`)
    } catch {
      return null
    }
  }

  #later(key: string, tell: () => Promise<unknown>): void {
    clearTimeout(this.#timers.get(key))
    this.#timers.set(key, setTimeout(() => {
      this.#timers.delete(key)
      // The copy in this window's storage stands in until the next key press tells the backend again.
      tell().catch(() => undefined)
    }, this.#keeping.pause_ms))
  }
}

export const drafts = new Drafts({ call: callBackend, storage: localStorage, now_ms: () => Date.now(), pause_ms: 400 })

/** One form whose values are kept. Fields bind to `value`; a component keeps it with `$effect(() => form.follow())`. */
export class DraftForm<Value extends object> {
  value = $state() as Value
  /** True once the kept values are in; a field typed in before that is not overwritten. */
  ready = $state(false)
  readonly #drafts: Drafts
  readonly #key: string
  readonly #empty: () => Value
  #first: string
  /** Whether a draft is kept that an emptied form must take back. */
  #kept = false

  constructor(key: string, empty: () => Value, from: Drafts = drafts) {
    this.#drafts = from
    this.#key = key
    this.#empty = empty
    this.value = empty()
    this.#first = JSON.stringify($state.snapshot(this.value))
  }

  async load(): Promise<void> {
    const kept = await this.#drafts.load<Value>(this.#key)
    const untouched = JSON.stringify($state.snapshot(this.value)) === this.#first
    this.#kept = kept !== undefined
    if (kept !== undefined && untouched) this.value = { ...this.#empty(), ...kept }
    this.ready = true
  }

  /** Keeps the values as they are now; reads all of them, so that an effect runs again when one changes. */
  follow(): void {
    const snapshot = $state.snapshot(this.value)
    if (JSON.stringify(snapshot) !== this.#first) {
      this.#kept = true
      this.#drafts.keep(this.#key, snapshot)
    } else if (this.#kept && this.ready) {
      this.#kept = false
      void this.#drafts.clear(this.#key)
    }
  }

  /** Empties the form after its values were recorded. */
  async recorded(): Promise<void> {
    this.value = this.#empty()
    this.#first = JSON.stringify($state.snapshot(this.value))
    this.#kept = false
    await this.#drafts.clear(this.#key)
  }
}
