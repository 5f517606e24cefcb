/**
 * Drives the real window: our program, in WebKitGTK, on a display without a screen.
 *
 * It speaks WebDriver (W3C Recommendation, 2018) to WebKitWebDriver with `fetch`, and needs no package. Usage:
 *
 *   const window = await openWindow({ program, words: ['--lab', folder], artifacts })
 *   await window.click('button.take-in')
 *   await window.press('Control+Enter')
 *   await window.screenshot('dock')
 *   await window.close()          // always, in a `finally`
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { basename, join } from 'node:path'
import { startDisplay } from './display.mjs'
import { membersOf, start, waitUntil } from './processes.mjs'

const READY_MS = 15_000
/** The first window after a build takes a few seconds on a slow machine. */
const SESSION_MS = 60_000
const COMMAND_MS = 30_000
/** How long a thing may take to appear before the test gives it up. */
const APPEAR_MS = 20_000
/** Between two keys of a quick typist. */
const WRITING_MS = 80

/** The name under which WebDriver hands out elements (W3C WebDriver 12.1, "web element identifier"). */
const ELEMENT = 'element-6066-11e4-a52e-4f735466cecf'

/** Keys without a character of their own (W3C WebDriver 17.4.2, table of normalised key values). */
const KEYS = {
  Backspace: '\uE003', Tab: '\uE004', Enter: '\uE007', Shift: '\uE008', Control: '\uE009', Alt: '\uE00A',
  Escape: '\uE00C', Space: ' ', PageUp: '\uE00E', PageDown: '\uE00F', End: '\uE010', Home: '\uE011',
  ArrowLeft: '\uE012', ArrowUp: '\uE013', ArrowRight: '\uE014', ArrowDown: '\uE015', Delete: '\uE017',
  F1: '\uE031', F5: '\uE035', Meta: '\uE03D',
}

/**
 * Opens the window and returns what a test needs to use it.
 *
 * `program` and `words` start it, `env` is added to its environment, `artifacts` is the folder for screenshots and the
 * log, `size` is the display's in pixels, and `dark` makes the system ask for dark screens.
 */
export async function openWindow({ program, words = [], env = {}, artifacts, size = { width: 1280, height: 800 }, dark = false }) {
  mkdirSync(artifacts, { recursive: true })
  const display = await startDisplay(size)
  let driver = null
  try {
    driver = await startDriver({ display, dark, env, logPath: join(artifacts, 'window.log') })
    const session = await beginSession(driver, program, words)
    return new Window({ driver, display, session, program, artifacts })
  } catch (error) {
    await driver?.process.stop()
    await display.stop()
    throw error
  }
}

async function startDriver({ display, dark, env, logPath }) {
  const port = await freePort()
  const driver = start('WebKitWebDriver', ['--host=127.0.0.1', `--port=${port}`], {
    logPath,
    // The driver starts the window, which inherits all of this.
    env: {
      ...env,
      DISPLAY: display.name,
      WAYLAND_DISPLAY: '',
      GDK_BACKEND: 'x11',
      TAURI_WEBVIEW_AUTOMATION: 'true',
      ...(dark ? { GTK_THEME: 'Adwaita:dark' } : {}),
    },
  })
  const base = `http://127.0.0.1:${port}`
  const ready = await waitUntil(async () => {
    const why = driver.ended()
    if (why) throw new Error(why)
    return fetch(`${base}/status`).then((answer) => answer.ok, () => false)
  }, READY_MS)
  if (!ready) {
    await driver.stop()
    throw new Error(`WebKitWebDriver did not answer on port ${port}`)
  }
  return { base, process: driver }
}

function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address()
      server.close(() => resolve(port))
    })
  })
}

async function beginSession(driver, program, words) {
  const browserOptions = { binary: program, args: words }
  const capabilities = { alwaysMatch: { 'webkitgtk:browserOptions': browserOptions } }
  const { sessionId } = await send(driver.base, 'POST', '/session', { capabilities }, SESSION_MS)
  return sessionId
}

async function send(base, method, path, body, timeoutMs = COMMAND_MS) {
  const answer = await fetch(base + path, {
    method,
    body: body === undefined ? undefined : JSON.stringify(body),
    headers: { 'content-type': 'application/json' },
    signal: AbortSignal.timeout(timeoutMs),
  })
  const { value } = await answer.json()
  if (!answer.ok) throw new Error(`${method} ${path}: ${value?.error}: ${value?.message}`)
  return value
}

/** An open window. Wherever a `target` is asked for, a CSS selector or an element found before will do. */
class Window {
  #driver
  #display
  #session
  #program
  #artifacts

  constructor({ driver, display, session, program, artifacts }) {
    this.#driver = driver
    this.#display = display
    this.#session = session
    this.#program = program
    this.#artifacts = artifacts
  }

  /** The display it is on, such as `:3`, for tools that look at the whole screen. */
  get display() {
    return this.#display.name
  }

  #send(method, path, body) {
    return send(this.#driver.base, method, `/session/${this.#session}${path}`, body)
  }

  /** The first element that matches, as soon as there is one. */
  find(selector) {
    return this.until(`something matches ${selector}`, async () => (await this.findAll(selector))[0])
  }

  /** All elements that match now. */
  findAll(selector) {
    return this.#send('POST', '/elements', { using: 'css selector', value: selector })
  }

  /** The first element that matches `selector` and shows this text somewhere inside. */
  findText(selector, text) {
    return this.until(`${selector} shows "${text}"`, () => this.execute(
      'return [...document.querySelectorAll(arguments[0])].find((e) => e.textContent.includes(arguments[1])) ?? null',
      selector, text,
    ))
  }

  /** Waits until `probe` gives something true, and returns that. */
  async until(what, probe, timeoutMs = APPEAR_MS) {
    const found = await waitUntil(probe, timeoutMs)
    if (!found) throw new Error(`waited ${timeoutMs} ms, but not: ${what}`)
    return found
  }

  async #idOf(target) {
    const element = typeof target === 'string' ? await this.find(target) : target
    return element[ELEMENT]
  }

  async click(target) {
    await this.#send('POST', `/element/${await this.#idOf(target)}/click`, {})
  }

  /** Types into a field, after what is in it. For `<input type=file>` the text is paths, one a line. */
  async type(target, text) {
    await this.#send('POST', `/element/${await this.#idOf(target)}/value`, { text })
  }

  async clear(target) {
    await this.#send('POST', `/element/${await this.#idOf(target)}/clear`, {})
  }

  /** The text of an element as it is drawn. */
  async text(target) {
    return this.#send('GET', `/element/${await this.#idOf(target)}/text`)
  }

  /** A property of an element, such as `value` or `disabled`. */
  async property(target, name) {
    return this.#send('GET', `/element/${await this.#idOf(target)}/property/${name}`)
  }

  /** What a screen reader is told an element is, and what it is called. */
  async roleAndLabel(target) {
    const id = await this.#idOf(target)
    const [role, label] = await Promise.all([
      this.#send('GET', `/element/${id}/computedrole`),
      this.#send('GET', `/element/${id}/computedlabel`),
    ])
    return { role, label }
  }

  /** The element that has the focus. */
  focused() {
    return this.#send('GET', '/element/active')
  }

  /** Presses one key, alone or with others held, such as `Tab`, `?` or `Control+Shift+K`. */
  async press(chord) {
    // A lone `+` is a key as well.
    const names = chord === '+' ? ['+'] : chord.split('+')
    const values = names.map((name) => KEYS[name] ?? name)
    const down = values.map((value) => ({ type: 'keyDown', value }))
    const up = values.toReversed().map((value) => ({ type: 'keyUp', value }))
    await this.#keys([...down, ...up])
  }

  /** Types where the focus is, key by key and all at once, as a scanner does. */
  async keys(text) {
    await this.#keys([...text].flatMap((value) => [{ type: 'keyDown', value }, { type: 'keyUp', value }]))
  }

  /** The same at the speed of a person: the screens tell the two apart by it. */
  async write(text) {
    await this.#keys([...text].flatMap((value) => [{ type: 'keyDown', value }, { type: 'keyUp', value }, { type: 'pause', duration: WRITING_MS }]))
  }

  async #keys(actions) {
    await this.#send('POST', '/actions', { actions: [{ type: 'key', id: 'keyboard', actions }] })
  }

  /** Runs a script in the page, as the body of a function with these arguments, and gives what it returns. */
  execute(script, ...words) {
    return this.#send('POST', '/execute/sync', { script, args: words })
  }

  /** The same for a script that calls its last argument when it is done. */
  executeAsync(script, ...words) {
    return this.#send('POST', '/execute/async', { script, args: words })
  }

  /** Waits until what was changed has been drawn. Two frames: the first may have been under way already. */
  async drawn() {
    const script = 'const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => done()))'
    await this.executeAsync(script)
  }

  /** Saves a picture of the page as `NAME.png` among the artifacts and returns its path. */
  async screenshot(name) {
    await this.drawn()
    const path = join(this.#artifacts, `${name}.png`)
    writeFileSync(path, Buffer.from(await this.#send('GET', '/screenshot'), 'base64'))
    return path
  }

  async resize(width, height) {
    await this.#send('POST', '/window/rect', { width, height })
  }

  /** Closes the window and ends everything that was started for it. Harmless when done twice. */
  async close() {
    const { process: driver } = this.#driver
    try {
      await this.#send('DELETE', '')
      // Ending the driver while the window still goes down would leave the window behind.
      const name = basename(this.#program).slice(0, 15)
      await waitUntil(() => membersOf(driver.group).every((member) => member.name !== name), APPEAR_MS)
    } catch {
      // The window or the driver is gone already; ending the group below is all that is left to do.
    } finally {
      await driver.stop()
      await this.#display.stop()
    }
  }
}
