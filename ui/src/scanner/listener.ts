/** Joins the state machine to the page: one capture-phase listener on the window. */
import { idle, settle, step, usualSettings, type Answer, type ScannerSettings, type State, type Target } from './machine'
import { ScanQueue } from './queue'

export interface Hearing {
  /** A whole scan, in order, doubles dropped. `note` says so when it was taken out of a focused field. */
  scanned(text: string, note: string | null): Promise<void>
  /** A person typed with no field in focus: put this in the scan line and go there. */
  typed(text: string): void
}

type TextField = HTMLInputElement | HTMLTextAreaElement

function isTextField(element: Element | null): element is TextField {
  return element instanceof HTMLTextAreaElement
    || (element instanceof HTMLInputElement && !['checkbox', 'radio', 'button', 'submit', 'file', 'range'].includes(element.type))
}

function targetOf(element: Element | null): Target {
  if (element instanceof HTMLElement && element.dataset.scanLine !== undefined) return 'scan line'
  if (isTextField(element) || element instanceof HTMLSelectElement) return 'field'
  return element instanceof HTMLElement && element.isContentEditable ? 'field' : 'nowhere'
}

/** A key that a focused button, link or list acts on is that element's, until a scan has begun. */
function belongsToControl(event: KeyboardEvent, state: State): boolean {
  return state.name === 'idle' && event.key === ' '
}

/** A listener at work. */
export interface Listening {
  /** Puts a text in line as if it had been scanned: what was typed in the scan line and entered. */
  enter(text: string): void
  stop(): void
}

/**
 * Starts listening.
 * A single held key that turns out to be a shortcut is given to `shortcut` first; it answers whether it used it.
 */
export function listenForScans(hearing: Hearing, settings: ScannerSettings = usualSettings, shortcut: (event: KeyboardEvent) => boolean = () => false): Listening {
  let state: State = idle
  let before: { field: TextField; value: string; start: number | null } | undefined
  let timer: ReturnType<typeof setTimeout> | undefined
  const notes = new Map<string, string>()
  const queue = new ScanQueue((text) => {
    const note = notes.get(text) ?? null
    notes.delete(text)
    return hearing.scanned(text, note)
  }, settings.double_ms_max)

  const obey = (answer: Answer, event: KeyboardEvent | undefined) => {
    if (answer.do === 'pass') return
    event?.preventDefault()
    event?.stopImmediatePropagation()
    if (answer.do === 'type') hearing.typed(answer.text)
    if (answer.do === 'scan') {
      if (answer.from_field && before) {
        const { field, value, start } = before
        field.value = value
        field.setSelectionRange?.(start, start)
        field.dispatchEvent(new InputEvent('input', { bubbles: true }))
        notes.set(answer.text, 'Taken from the field you were in: a scan is never typed into it. The field is as it was.')
      }
      queue.push(answer.text, performance.now())
    }
  }

  const heard = (event: KeyboardEvent) => {
    if (event.altKey || event.metaKey || event.isComposing || document.querySelector('dialog[open]')) return
    const target = targetOf(document.activeElement)
    if (belongsToControl(event, state)) return
    if (state.name === 'idle' && target === 'nowhere' && shortcut(event)) return
    const focused = document.activeElement
    const was = state
    const [next, answer] = step(state, { key: event.key, code: event.code, shift: event.shiftKey, ctrl: event.ctrlKey, at_ms: event.timeStamp, target }, settings)
    state = next
    const begins = next.name === 'burst' && (was.name === 'idle' || [...next.byKey].length === 1)
    if (begins && target === 'field' && isTextField(focused)) before = { field: focused, value: focused.value, start: focused.selectionStart }
    obey(answer, event)
    clearTimeout(timer)
    if (state.name === 'burst') timer = setTimeout(settled, settings.gap_ms_max * 3 + 10)
  }

  const settled = () => {
    const [next, answer] = settle(state, performance.now(), settings)
    state = next
    obey(answer, undefined)
  }

  window.addEventListener('keydown', heard, { capture: true })
  return {
    enter: (text) => void queue.push(text, performance.now()),
    stop: () => {
      clearTimeout(timer)
      window.removeEventListener('keydown', heard, { capture: true })
    },
  }
}
