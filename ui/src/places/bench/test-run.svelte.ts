/**
 * Tests done one after the other, one key each. What is pressed is recorded in the order in which it was pressed,
 * even while an earlier result is still on its way.
 */
import type { Comparison, JobView, MarkedResult, Phase, ResultInput, SuggestedTest, TestDefinition, TestReason } from '../../backend/generated'
import { asBackendError, type BackendError } from '../../backend'

export interface RunRow {
  code: string
  title: string
  reason: TestReason
  before: MarkedResult | null
  after: MarkedResult | null
  /** The catalogue's word on it; missing when the catalogue no longer applies it to this kind of device. */
  test: TestDefinition | undefined
  limits_words: string
}

/** What a row needs next from the person before it can be recorded. */
export type Asking = 'reading' | 'why' | undefined

/** The tests of a phase. A neighbour's test is opened by heat, so it has no before. */
export function rowsOf(comparison: Comparison[], tests: SuggestedTest[], phase: Phase): RunRow[] {
  return comparison
    .filter((row) => phase === 'after' || row.reason !== 'neighbour' || row.before !== null)
    .map(({ code, title, reason, before, after }) => {
      const known = tests.find(({ test }) => test.code === code)
      return { code, title, reason, before, after, test: known?.test, limits_words: known?.limits_words ?? '' }
    })
}

/** Whether a test gives a number. */
export const isMeasured = (row: RunRow | undefined): boolean => row?.test !== undefined && row.test.kind.kind !== 'pass_fail'

type Send = (code: string, result: ResultInput, note: string) => Promise<JobView>

export class TestRun {
  rows = $state.raw<RunRow[]>([])
  at = $state(0)
  asking = $state<Asking>(undefined)
  /** Results on their way. */
  waiting = $state(0)
  refused = $state.raw<{ code: string; error: BackendError } | undefined>(undefined)
  value = $state('')
  uncertainty = $state('')
  why = $state('')
  note = $state('')
  readonly phase: Phase
  readonly #send: Send
  readonly #done: (view: JobView, row: RunRow, result: ResultInput) => void
  #queue: Promise<void> = Promise.resolve()

  constructor(phase: Phase, send: Send, done: (view: JobView, row: RunRow, result: ResultInput) => void) {
    this.phase = phase
    this.#send = send
    this.#done = done
  }

  get row(): RunRow | undefined {
    return this.rows[this.at]
  }

  /** How many have a result in this phase. */
  get done(): number {
    return this.rows.filter((row) => row[this.phase] !== null).length
  }

  /** Takes the rows of a new view; the cursor stays on its test. */
  show(rows: RunRow[]): void {
    const code = this.row?.code
    this.rows = rows
    const at = rows.findIndex((row) => row.code === code)
    this.at = at >= 0 ? at : Math.max(0, Math.min(this.at, rows.length - 1))
  }

  /** To the first test without a result. */
  toOpen(): void {
    const open = this.rows.findIndex((row) => row[this.phase] === null)
    this.go(open < 0 ? 0 : open)
  }

  go(index: number): void {
    const at = Math.max(0, Math.min(this.rows.length - 1, index))
    if (at !== this.at) this.#clear()
    this.at = at
  }

  /** One key on the list. A measured test asks for its reading where a key alone can't say it. */
  take(key: string): void {
    const row = this.row
    if (!row) return
    if (key === 'f') this.#record(row, { kind: 'fail' })
    else if (key === 'x') this.#record(row, { kind: 'not_applicable' })
    else if (key === 'n') this.asking = 'why'
    else if (key === 'r' && isMeasured(row)) this.asking = 'reading'
    else if (key === 'p' && isMeasured(row)) this.asking = 'reading'
    else if (key === 'p') this.#record(row, { kind: 'pass' })
  }

  /** Records what was typed for this row. */
  submit(): void {
    const row = this.row
    if (!row || !this.asking) return
    this.#record(row, this.asking === 'why' ? { kind: 'not_testable', why: this.why } : { kind: 'reading', value: this.value, uncertainty: this.uncertainty })
  }

  /** Steps back from typing; what was typed stays until the cursor moves. */
  back(): void {
    this.asking = undefined
  }

  #record(row: RunRow, result: ResultInput): void {
    const note = this.note
    const typed = { value: this.value, uncertainty: this.uncertainty, why: this.why, note, asking: this.asking }
    this.waiting++
    this.refused = undefined
    // The next test is shown at once; a refusal leads back to this one, with what was typed.
    if (this.at < this.rows.length - 1) this.at++
    this.#clear()
    this.#queue = this.#queue.then(async () => {
      try {
        this.#done(await this.#send(row.code, result, note), row, result)
      } catch (cause) {
        this.refused = { code: row.code, error: asBackendError(cause) }
        this.at = Math.max(0, this.rows.findIndex(({ code }) => code === row.code))
        Object.assign(this, typed)
      } finally {
        this.waiting--
      }
    })
  }

  #clear(): void {
    this.asking = undefined
    this.value = ''
    // The instrument stays the same from test to test, but its uncertainty has the test's unit.
    this.uncertainty = ''
    this.why = ''
    this.note = ''
  }
}
