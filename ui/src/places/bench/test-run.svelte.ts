/**
 * Tests done one after the other, one key each. What is pressed is recorded in the order in which it was pressed,
 * even while an earlier result is still on its way.
 */
import type { Assembly, ChoiceAnswer, JobView, MarkedResult, Phase, ResultInput, TestDefinition, TestReason, TraceFile } from '../../backend/generated'
import { asBackendError, type BackendError } from '../../backend'
import { StopwatchState } from '../../parts/stopwatch.svelte'
import { resultWords, seconds } from '../../say/readings'

export interface RunRow {
  code: string
  title: string
  reason: TestReason
  before: MarkedResult | null
  after: MarkedResult | null
  /** The version that the job is tested with; missing when nobody knows it any more. */
  test: TestDefinition | undefined
  limits_words: string
  rule_words: string
  /** Results of this phase that a following one replaced, the latest first. */
  earlier: MarkedResult[]
  /** Standing results of benches that had not seen each other, besides the one shown. */
  differing: MarkedResult[]
  why: string[]
}

/** What a row needs next from the person before it can be recorded. */
export type Asking = 'reading' | 'why' | undefined

/** All that goes with a result besides what it gave. */
export interface Evidence {
  note: string
  photos: string[]
  assembly: Assembly | null
  trace: TraceFile | null
}

/** The tests of a phase. A neighbour's test is opened by heat, so it has no before. */
export function rowsOf({ job, done_with }: Pick<JobView, 'done_with'> & { job: Pick<JobView['job'], 'comparison' | 'results'> }, phase: Phase): RunRow[] {
  return job.comparison
    .filter((row) => phase === 'after' || row.reason !== 'neighbour' || row.before !== null)
    .map(({ code, title, reason, before, after, differing, joint, why }) => {
      const known = done_with.find(({ test }) => test.code === code)
      const own = (marked: MarkedResult) => marked.result.code === code && marked.result.phase === phase
      return {
        code, title, reason, before, after, test: known?.test, limits_words: known?.limits_words ?? '', rule_words: known?.rule_words ?? '',
        earlier: job.results.filter((marked) => marked.replaced && own(marked)).reverse(), differing: differing.filter(own),
        why: joint === 'not_comparable' && phase === 'after' ? why : [],
      }
    })
}

/** What a result came to, with its judgement: a reading that fails must be said at once. */
export function resultSaid({ job }: { job: Pick<JobView['job'], 'comparison'> }, phase: Phase, code: string): string {
  const taken = job.comparison.find((row) => row.code === code)?.[phase]
  return taken ? resultWords(taken) : 'recorded'
}

/** Whether a test gives a number. */
export const isMeasured = (row: RunRow | undefined): boolean => row?.test?.kind.kind === 'reading' || row?.test?.kind.kind === 'timed'

/** What was typed or added for a test and is not recorded yet. */
type Typed = Pick<TestRun, 'asking' | 'value' | 'uncertainty' | 'why' | 'note' | 'photos' | 'trace'>

/** The instrument stays the same from test to test, but its uncertainty has the test's unit. */
const NOTHING: Typed = { asking: undefined, value: '', uncertainty: '', why: '', note: '', photos: [], trace: null }

type Send = (code: string, result: ResultInput, evidence: Evidence) => Promise<JobView>

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
  /** Pictures that go with the next result. */
  photos = $state.raw<string[]>([])
  trace = $state.raw<TraceFile | null>(null)
  /** How the device stands; it stays so from test to test until it is said otherwise. */
  stands = $state<Assembly['kind']>('closed')
  parts_off = $state('')
  /** A stopwatch for each timed test: a device starts up by itself while another test is done. */
  readonly #watches = new Map<string, StopwatchState>()
  /** What was typed for tests that the cursor has left. */
  readonly #left = new Map<string, Typed>()
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

  /** The stopwatch of the test at hand. */
  get watch(): StopwatchState {
    return this.#watchOf(this.row?.code ?? '')
  }

  #watchOf(code: string): StopwatchState {
    const known = this.#watches.get(code)
    if (known) return known
    const watch = new StopwatchState()
    this.#watches.set(code, watch)
    return watch
  }

  /** Whether this test's stopwatch runs. */
  times(code: string): boolean {
    return this.#watches.get(code)?.running ?? false
  }

  /** How many have a result in this phase. */
  get done(): number {
    return this.rows.filter((row) => row[this.phase] !== null).length
  }

  /** Takes the rows of a new view; the cursor stays on its test. */
  show(rows: RunRow[]): void {
    const code = this.row?.code
    // Made before the rows are drawn, so that each row sees when its own begins to run.
    for (const row of rows) if (row.test?.kind.kind === 'timed') this.#watchOf(row.code)
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
    if (at === this.at) return
    this.#leave()
    this.at = at
    this.#arrive()
  }

  get #typed(): Typed {
    const { asking, value, uncertainty, why, note, photos, trace } = this
    return { asking, value, uncertainty, why, note, photos, trace }
  }

  #leave(): void {
    if (this.row) this.#left.set(this.row.code, this.#typed)
  }

  #arrive(): void {
    Object.assign(this, (this.row && this.#left.get(this.row.code)) ?? NOTHING)
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
    else if (key === 'p' && row.test?.kind.kind === 'choice') this.#good(row.test.kind.answers)
    else if (key === 'p') this.#record(row, { kind: 'pass' })
    else if (key === 's' && row.test?.kind.kind === 'timed') this.#time()
  }

  /** Digits on the list: the begin of a reading, or the answer of that number. Answers whether they meant anything. */
  typed(text: string): boolean {
    const row = this.row
    if (!row || this.asking) return false
    if (isMeasured(row)) {
      this.value = text
      this.asking = 'reading'
      return true
    }
    return row.test?.kind.kind === 'choice' && text.length === 1 && this.choose(Number(text) - 1)
  }

  /** Pass means the one answer that passes; where several do, a person says which. */
  #good(answers: ChoiceAnswer[]): void {
    const good = answers.findIndex(({ passes }) => passes)
    if (answers.filter(({ passes }) => passes).length === 1) this.choose(good)
  }

  /** Records one of the test's answers. */
  choose(index: number): boolean {
    const row = this.row
    const answer = row?.test?.kind.kind === 'choice' ? row.test.kind.answers[index] : undefined
    if (!row || !answer) return false
    this.#record(row, { kind: 'choice', words: answer.words })
    return true
  }

  /** One key starts the stopwatch, the next stops it and puts its time where a reading is typed. */
  #time(): void {
    if (!this.watch.running) {
      this.watch.clear()
      this.watch.start()
      return
    }
    this.watch.stop()
    this.useTime()
  }

  /** Puts the stopwatch's time where a reading is typed. */
  useTime(): void {
    this.value = seconds(this.watch.elapsed_ms)
    this.asking = 'reading'
  }

  get assembly(): Assembly {
    return this.stands === 'parts_off' ? { kind: 'parts_off', parts: this.parts_off } : { kind: this.stands }
  }

  /** Records what was typed for this row. */
  submit(): void {
    const row = this.row
    if (!row || !this.asking) return
    this.#record(row, this.asking === 'why' ? { kind: 'not_testable', why: this.why } : { kind: 'reading', value: this.value, uncertainty: this.uncertainty })
  }

  /** Steps back from typing; what was typed stays. */
  back(): void {
    this.asking = undefined
  }

  #record(row: RunRow, result: ResultInput): void {
    const evidence = { note: this.note, photos: this.photos, assembly: this.assembly, trace: this.trace }
    const typed = this.#typed
    this.waiting++
    this.refused = undefined
    this.#stopWatch(row.code)
    // The next test is shown at once; a refusal leads back to this one, with what was typed.
    this.#left.delete(row.code)
    if (this.at < this.rows.length - 1) this.at++
    this.#arrive()
    this.#queue = this.#queue.then(async () => {
      try {
        this.#done(await this.#send(row.code, result, evidence), row, result)
      } catch (cause) {
        this.refused = { code: row.code, error: asBackendError(cause) }
        this.#leave()
        this.at = Math.max(0, this.rows.findIndex(({ code }) => code === row.code))
        Object.assign(this, typed)
      } finally {
        this.waiting--
      }
    })
  }

  /** A result ends the timing of its own test, and of no other. */
  #stopWatch(code: string): void {
    const watch = this.#watches.get(code)
    if (watch?.running) watch.stop()
    watch?.clear()
  }
}
