import { afterEach, beforeEach, expect, test } from 'vitest'
import { listenForScans, type Listening } from './listener'
import { usualSettings } from './machine'

let listening: Listening
let scanned: [string, string | null][]
let typed: string[]
let shortcuts: string[]

const later = (ms: number) => new Promise((done) => setTimeout(done, ms))

/** Presses keys as a wedge scanner does, writing into the focused field what nobody kept from it. */
function press(...keys: string[]): void {
  for (const key of keys) {
    const event = new KeyboardEvent('keydown', { key, code: `Key${key.toUpperCase()}`, bubbles: true, cancelable: true })
    const target = document.activeElement ?? document.body
    target.dispatchEvent(event)
    if (!event.defaultPrevented && target instanceof HTMLTextAreaElement && key.length === 1) target.value += key
  }
}

beforeEach(() => {
  document.body.innerHTML = '<textarea></textarea><button>Record</button><input data-scan-line>'
  scanned = []
  typed = []
  shortcuts = []
  listening = listenForScans(
    { scanned: async (text, note) => void scanned.push([text, note]), typed: (text) => void typed.push(text) },
    usualSettings,
    (event) => event.key === '?' && shortcuts.push(event.key) > 0,
  )
})
afterEach(() => listening.stop())

test('a scan into a note leaves the note as it was and says so', async () => {
  const note = document.querySelector('textarea') as HTMLTextAreaElement
  note.focus()
  note.value = 'held for '
  press(...'RRABCD', 'Enter')
  await later(5)
  expect(note.value).toBe('held for ')
  expect(scanned).toEqual([['RRABCD', expect.stringContaining('never typed into it')]])
})

test("a scan while a button has focus does not press it", async () => {
  const button = document.querySelector('button') as HTMLButtonElement
  let enters = 0
  button.addEventListener('keydown', (event) => event.key === 'Enter' && enters++)
  button.focus()
  press(...'RRABCD', 'Enter')
  await later(5)
  expect(enters).toBe(0)
  expect(scanned).toEqual([['RRABCD', null]])
})

test('a single sign is a shortcut, and the same sign inside a scan is not', async () => {
  press('?')
  press(...'AB?CD', 'Enter')
  await later(5)
  expect(shortcuts).toEqual(['?'])
  expect(scanned.map(([text]) => text)).toEqual(['AB?CD'])
})

test('one letter that nothing follows goes to the scan line', async () => {
  press('v')
  await later(usualSettings.gap_ms_max * 3 + 60)
  expect(typed).toEqual(['v'])
})

test('what is entered in the scan line takes its turn, and its double is dropped', async () => {
  listening.enter('ABCD')
  listening.enter('ABCD')
  await later(5)
  expect(scanned).toEqual([['ABCD', null]])
})

test('nothing is heard after it stops', async () => {
  listening.stop()
  press(...'ABCDE', 'Enter')
  await later(5)
  expect(scanned).toEqual([])
})
