/**
 * Hands scans on one at a time, in order. A label may carry several barcodes that arrive within a second, and
 * each must have its answer before the next is looked up. The same text again at once is a bounce, and is dropped.
 */
export class ScanQueue {
  #waiting: string[] = []
  #busy = false
  #last: { text: string; at_ms: number } | undefined
  readonly #take: (text: string) => Promise<void>
  readonly #double_ms_max: number

  constructor(take: (text: string) => Promise<void>, double_ms_max: number) {
    this.#take = take
    this.#double_ms_max = double_ms_max
  }

  /** Puts a scan in line. Returns false if it was dropped as a double. */
  push(text: string, at_ms: number): boolean {
    const isDouble = this.#last?.text === text && at_ms - this.#last.at_ms <= this.#double_ms_max
    this.#last = { text, at_ms }
    if (isDouble) return false
    this.#waiting.push(text)
    void this.#run()
    return true
  }

  async #run(): Promise<void> {
    if (this.#busy) return
    this.#busy = true
    try {
      for (let text = this.#waiting.shift(); text !== undefined; text = this.#waiting.shift()) {
        // A failed look-up answers in the scan line itself; it must not hold up the next label.
        await this.#take(text).catch(() => undefined)
      }
    } finally {
      this.#busy = false
    }
  }
}
