/** The lab's screens in a browser: open, go to a place, wait until it has what it shows. */
import assert from 'node:assert/strict'
import { openPage } from './browser.mjs'
import { waitUntil, within } from './processes.mjs'

/** Far longer than it takes, since suites run beside each other on slow machines. */
const LOAD_MS = 30_000

/** The smallest window that is usual, and a large one. */
export const SIZES = [{ width: 1280, height: 800 }, { width: 1920, height: 1080 }]

/** Opens the screens for one test and closes them whatever happens. A page that complains fails the test. */
export async function withScreensOf(browser, desk, size, work) {
  const screens = await Screens.open(browser, desk, size)
  try {
    await work(screens)
    assert.deepEqual(screens.complaints, [], 'the page complained')
  } finally {
    await screens.close()
  }
}

/** The screens on a desk, with the questions to it that are still under way. */
export class Screens {
  #pending = new Set()

  static async open(browser, desk, options) {
    const page = await openPage(browser, options)
    const screens = new Screens(page, desk)
    await page.goto(desk.url)
    await screens.settled()
    return screens
  }

  constructor(page, desk) {
    this.page = page
    this.desk = desk
    /** What the page said went wrong by itself: errors of its scripts, broken rules of its security policy. */
    this.complaints = []
    /** What the desk refused, in its own sentences. */
    this.refusals = []
    /** Papers that were opened, each in a page of its own. That is closed at once: behind another page, nothing is drawn. */
    this.opened = []
    page.context().on('page', async (paper) => {
      this.opened.push(paper.url())
      await paper.close()
      await page.bringToFront()
    })
    const isCall = (request) => request.url().startsWith(`${desk.origin}/call/`)
    page.on('request', (request) => { if (isCall(request)) this.#pending.add(request) })
    for (const end of ['requestfinished', 'requestfailed']) page.on(end, (request) => this.#pending.delete(request))
    page.on('pageerror', (error) => this.complaints.push(error.message))
    // A refusal is an answer and is told to the person; the browser's own line about it says nothing more.
    page.on('console', (message) => {
      if (message.type() === 'error' && !message.text().startsWith('Failed to load resource')) this.complaints.push(message.text())
    })
    page.on('response', async (response) => {
      if (response.ok() || !isCall(response.request())) return
      const { code, message } = await response.json().catch(() => ({ code: 'failed', message: `status ${response.status()}` }))
      this.refusals.push(message)
      if (code === 'failed') this.complaints.push(`${new URL(response.url()).pathname}: ${message}`)
    })
  }

  /** Goes to a place by its address, such as `rack` or `bench/ID`. */
  async go(place) {
    await this.page.goto(`${this.desk.origin}/#/${place}`)
    await this.settled()
  }

  /** Waits until the desk has answered all and the answer is drawn. Two frames: the first may have been under way already. */
  async settled() {
    const end = Date.now() + LOAD_MS
    const drawn = () => within(LOAD_MS, 'drawing two frames', this.page.evaluate(() => new Promise((done) => {
      requestAnimationFrame(() => requestAnimationFrame(() => done()))
    })))
    // A large answer takes the page a moment after its last byte has come; until then it says that it reads.
    const reads = () => this.page.evaluate(() => [...document.querySelectorAll('[role=status]')].some((status) => status.textContent.trim() === 'Reading …'))
    await drawn()
    while (this.#pending.size > 0 || await reads()) {
      if (Date.now() > end) throw new Error(`the desk has not answered ${[...this.#pending].map((request) => request.url()).join(', ')}`)
      await drawn()
    }
    await drawn()
  }

  /** Types a code into the scan line, as a scanner does, and waits for the answer. */
  async scan(text) {
    await this.page.locator('[data-scan-line]').fill(text)
    await this.page.keyboard.press('Enter')
    await this.settled()
  }

  /** What the scan line says. */
  said() {
    return this.page.locator('form[role=search] [role=status]').innerText()
  }

  /** Waits until a paper whose name begins like this was opened; papers open in pages of their own, which takes a moment. */
  async paper(begin) {
    const isOpen = () => this.opened.some((url) => new URL(url).pathname.startsWith(`/paper/${begin}`))
    if (!(await waitUntil(isOpen, LOAD_MS))) throw new Error(`no paper “${begin}” was opened, only ${this.opened.join(', ') || 'none'}`)
    await this.page.waitForFunction(() => !document.hidden)
  }

  /** All text of the place, and what stands in its fields. */
  async text() {
    const main = this.page.locator('main')
    const fields = await main.locator('input:not([type=checkbox], [type=radio]), textarea').evaluateAll((all) => all.map((field) => field.value))
    return [await main.innerText(), ...fields].join('\n')
  }

  close() {
    return this.page.context().close()
  }
}
