/** The one list of what can be done by key. It feeds the sheet that `?` opens, and the tests. Nothing else listens for shortcuts. */
import { matches, parseChord, type Chord } from './chord'

/** Where a command can be used: in every place, or in one. */
export type Scope = 'everywhere' | (string & {})

export interface Command {
  /** Stable, for tests and reports: `job.next_station`. */
  id: string
  /** What it does, in the words of the sheet: "Go to the scan line". */
  words: string
  keys: string[]
  scope: Scope
  run: () => void
  /** Answers whether it can be used now; always, if left out. */
  when?: () => boolean
}

interface Listed extends Command {
  chords: Chord[]
}

function isWriting(element: Element | null): boolean {
  if (element instanceof HTMLTextAreaElement || element instanceof HTMLSelectElement) return true
  if (element instanceof HTMLInputElement) return !['checkbox', 'radio', 'button', 'submit', 'file', 'range'].includes(element.type)
  return element instanceof HTMLElement && element.isContentEditable
}

export class Keys {
  #commands = $state.raw<Listed[]>([])
  #back: (() => void)[] = []

  /** Lists commands; returns a function that takes them off again. Two commands of one scope may not share an id or a key. */
  register(...commands: Command[]): () => void {
    const listed = commands.map((command) => ({ ...command, chords: command.keys.map(parseChord) }))
    for (const command of listed) {
      const clash = this.#commands.find((other) => other.id === command.id || (other.scope === command.scope && other.keys.some((key) => command.keys.includes(key))))
      if (clash) throw new Error(`${command.id} has the id or a key of ${clash.id}`)
    }
    this.#commands = [...this.#commands, ...listed]
    return () => {
      this.#commands = this.#commands.filter((command) => !listed.includes(command))
    }
  }

  /** What Escape does while something is open; the last opened steps back first. Returns a function that takes it off. */
  onBack(step: () => void): () => void {
    this.#back.push(step)
    return () => {
      this.#back = this.#back.filter((other) => other !== step)
    }
  }

  /** The commands for the sheet: the place's own first, then those that work everywhere. */
  listed(place: Scope): Command[] {
    const own = this.#commands.filter(({ scope }) => scope === place)
    return [...own, ...this.#commands.filter(({ scope }) => scope === 'everywhere')]
  }

  /** Runs the command of this key press, if there is one; answers whether it did. */
  handle(event: KeyboardEvent, place: Scope): boolean {
    if (event.key === 'Escape' && !event.altKey && !event.ctrlKey && !event.metaKey) return this.#stepBack(event)
    const writing = isWriting(document.activeElement)
    const candidates = [...this.listed(place)] as Listed[]
    const command = candidates.find(({ chords, when }) =>
      chords.some((chord) => matches(chord, event) && (!writing || chord.alt || chord.mod || /^F\d+$/.test(chord.key))) && (when?.() ?? true))
    if (!command) return false
    event.preventDefault()
    command.run()
    return true
  }

  #stepBack(event: KeyboardEvent): boolean {
    const step = this.#back.at(-1)
    if (!step) return false
    event.preventDefault()
    step()
    return true
  }
}

/** The registry of this window. */
export const keys = new Keys()
