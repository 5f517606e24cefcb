/** A stopwatch for timed tests. It reads a clock that never steps back, and nothing else. */
export class StopwatchState {
  #started: number | undefined
  #before_ms = 0
  readonly #clock_ms: () => number
  running = $state(false)
  elapsed_ms = $state(0)

  constructor(clock_ms: () => number = () => performance.now()) {
    this.#clock_ms = clock_ms
  }

  toggle(): void {
    if (this.running) this.stop()
    else this.start()
  }

  start(): void {
    if (this.running) return
    this.#started = this.#clock_ms()
    this.running = true
  }

  stop(): void {
    this.tick()
    this.#before_ms = this.elapsed_ms
    this.#started = undefined
    this.running = false
  }

  /** Brings the shown time up to now. */
  tick(): void {
    if (this.#started !== undefined) this.elapsed_ms = this.#before_ms + (this.#clock_ms() - this.#started)
  }

  clear(): void {
    this.#before_ms = 0
    this.elapsed_ms = 0
    this.#started = this.running ? this.#clock_ms() : undefined
  }
}

/** `4.2 s`, `1 min 04.2 s`: tenths, because a hand on a key is no better. */
export function stopwatchWords(ms: number): string {
  const tenths = Math.floor(ms / 100)
  const minutes = Math.floor(tenths / 600)
  const seconds = ((tenths % 600) / 10).toFixed(1)
  return minutes === 0 ? `${seconds} s` : `${minutes} min ${seconds.padStart(4, '0')} s`
}
