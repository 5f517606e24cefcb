/**
 * A person at the window with a keyboard and a scanner, and nothing else. Every key pressed and every scan is counted, so that
 * what a job costs is a number and not a feeling. It never clicks and never sets a value: what it can't reach by key, nobody can.
 */
import assert from 'node:assert/strict'

/** Tab presses after which a thing counts as out of reach. */
const TABS_MAX = 120

/** A page with more forms than this is no page for hands. */
const FORMS_MAX = 6

/** What the focused thing is called, in the page: its label, what it points to, or its text. */
const NAME_OF_FOCUSED = `
  const element = document.activeElement
  if (!element || element === document.body) return ''
  const label = element.getAttribute('aria-label') ?? [...(element.labels ?? [])].map((each) => each.textContent).join(' ')
  return (label || element.textContent || '').trim().replace(/\\s+/g, ' ')`

export class Hands {
  keys = 0
  scans = 0
  /** What each part of the work cost: `[words, keys, scans]`. */
  parts = []
  #window
  #begun = [0, 0]

  constructor(window) {
    this.#window = window
  }

  /** Presses one key, alone or with others held: one stroke. */
  async press(chord, times = 1) {
    for (let time = 0; time < times; time += 1) await this.#window.press(chord)
    this.keys += times
  }

  /** Types letters at the speed of a person, a stroke each. */
  async write(text) {
    await this.#window.write(text)
    this.keys += [...text].length
  }

  /** Pulls the trigger of the scanner once. */
  async scan(text) {
    await this.#window.keys(text)
    await this.#window.press('Enter')
    this.scans += 1
  }

  /** Goes to the next thing whose name begins with `name`, by Tab. */
  async tabTo(name) {
    const passed = []
    for (let step = 0; step <= TABS_MAX; step += 1) {
      const found = await this.#window.execute(NAME_OF_FOCUSED)
      if (step > 0 && found.startsWith(name)) return
      passed.push(found.slice(0, 24))
      await this.press('Tab')
    }
    assert.fail(`“${name}” is not reached by Tab, only: ${passed.join(' | ')}`)
  }

  /** Goes into the form that begins with this blank: once, and again for each form before it. */
  async intoForm(name) {
    const passed = []
    for (let step = 0; step < FORMS_MAX; step += 1) {
      await this.press('Alt+f')
      const found = await this.#window.execute(NAME_OF_FOCUSED)
      if (found.startsWith(name)) return
      passed.push(found.slice(0, 24))
    }
    assert.fail(`no form begins with “${name}”, only with: ${passed.join(' | ')}`)
  }

  /** Goes to a field by Tab and writes into it. */
  async fill(name, text) {
    await this.tabTo(name)
    await this.write(text)
  }

  /** Closes a part of the work: what it cost stands under these words. */
  done(words) {
    this.parts.push([words, this.keys - this.#begun[0], this.scans - this.#begun[1]])
    this.#begun = [this.keys, this.scans]
  }
}
