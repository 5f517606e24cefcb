/** What the scan line says, and the way back from what was last recorded. There are no other notices in the program. */
import { asBackendError } from '../backend'

/** One thing a person can do about an answer: take the parcel in, open the job, undo. */
export interface Offer {
  words: string
  run: () => void | Promise<void>
}

export type AnswerKind = 'ready' | 'looking' | 'found' | 'recorded' | 'no match' | 'refused'

export interface Answer {
  kind: AnswerKind
  /** One sentence. */
  words: string
  /** A second, quieter sentence: a check digit that does not fit, where a scan was taken from. */
  note?: string | null
  offers?: Offer[]
  /** Records a correction; nothing is deleted. */
  undo?: () => Promise<void>
}

export const ready: Answer = { kind: 'ready', words: 'Ready for a scan, or type a parcel, job, shop or part.' }

export class ScanLineState {
  text = $state('')
  answer = $state.raw<Answer>(ready)
  input: HTMLInputElement | undefined

  say(answer: Answer): void {
    this.answer = answer
  }

  recorded(words: string, undo?: () => Promise<void>): void {
    this.answer = { kind: 'recorded', words, ...(undo ? { undo } : {}) }
  }

  refused(words: string, note: string | null = null): void {
    this.answer = { kind: 'refused', words, note }
  }

  /** Takes the way back from what was last recorded, once. A refusal is said in the line. */
  async undo(): Promise<void> {
    const { undo, words } = this.answer
    if (!undo) return
    this.answer = { kind: 'looking', words: 'Taking it back …' }
    try {
      await undo()
      this.answer = { kind: 'found', words: `Taken back: ${words}` }
    } catch (cause) {
      this.refused(asBackendError(cause).message)
    }
    this.focus()
  }

  /** Puts the cursor in the line, as after every action. */
  focus(): void {
    this.input?.focus()
  }

  /** A person began to type with nothing in focus. */
  type(text: string): void {
    this.text += text
    this.focus()
  }
}

export const scanLine = new ScanLineState()
