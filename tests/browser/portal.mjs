/**
 * The portal in a real browser, without script: every page at 390 and 1280 px, light and dark, checked with axe and looked at.
 *
 *   node portal.mjs [folder for the screenshots]
 *
 * Starts `portal_fixture` (build it first: cargo build -p sync-server --example portal_fixture), follows the one-time links as
 * a shop's user would, and fails on any axe finding of WCAG 2.2 AA, on a page wider than the screen, on a target under 44 px
 * in the navigation, and on a first view over 60 KB.
 */
import assert from 'node:assert/strict'
import { spawn } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

const here = dirname(fileURLToPath(import.meta.url))
const root = join(here, '../..')
const programs = process.env.WAYBENCH_PROGRAMS ?? join(root, 'target/debug')
const artifacts = process.argv[2] ?? join(process.env.WAYBENCH_ARTIFACTS ?? join(root, 'tests/artifacts'), 'portal')
const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']
const FIRST_VIEW_BYTES_MAX = 60 * 1024
const TARGET_PX_MIN = 44
const PASSWORD = 'copper and rosin'
const faults = []

/** Starts the server with its invented lab; `stop` ends it by closing its input. */
async function startServer() {
  const program = join(programs, 'examples/portal_fixture')
  assert.ok(existsSync(program), `${program} is not built: cargo build -p sync-server --example portal_fixture`)
  const child = spawn(program, [], { stdio: ['pipe', 'pipe', 'inherit'], env: { ...process.env, RUST_LOG: 'warn' } })
  const ended = new Promise((resolve) => child.once('exit', resolve))
  for await (const line of createInterface({ input: child.stdout })) {
    const stop = async () => { child.stdin.end(); await ended }
    return { ...JSON.parse(line), stop }
  }
  throw new Error('the server ended before it listened')
}

function newContext(browser, { width, dark = false }) {
  return browser.newContext({
    viewport: { width, height: width < 500 ? 844 : 800 },
    deviceScaleFactor: width < 500 ? 2 : 1,
    colorScheme: dark ? 'dark' : 'light',
    javaScriptEnabled: false,
    locale: 'en-GB',
  })
}

/** Sets a password through an invite and returns what a signed-in browser remembers. */
async function signIn(browser, link, email) {
  const context = await newContext(browser, { width: 390 })
  const page = await context.newPage()
  await page.goto(link)
  await look(browser, page, 'invite')
  await page.fill('#name', 'Mira Oduya')
  await page.fill('#email', email)
  await page.fill('#password', PASSWORD)
  await page.click('text=Set the password and go in')
  await page.waitForURL('**/devices?done=welcome')
  const state = await context.storageState()
  await context.close()
  return state
}

/** Looks at the page that `page` shows, at both widths and in both schemes, and checks each. */
async function look(browser, page, name) {
  const state = await page.context().storageState()
  const html = await page.content()
  await lookAt(browser, state, page.url(), name, html)
}

async function lookAt(browser, state, url, name, html) {
  if (!html) await reflow(browser, state, url, name)
  for (const width of [390, 1280]) {
    for (const dark of [false, true]) {
      const title = `${name} at ${width} px, ${dark ? 'dark' : 'light'}`
      // axe needs script, so it runs in a context of its own; the pages bring none.
      const context = await browser.newContext({
        viewport: { width, height: width < 500 ? 844 : 800 },
        deviceScaleFactor: width < 500 ? 2 : 1,
        colorScheme: dark ? 'dark' : 'light',
        storageState: state,
        bypassCSP: true,
      })
      const page = await context.newPage()
      if (html) {
        // The page came from a form, so it can't be asked for again: its bytes are shown at its own address.
        await page.route(url, (route) => route.fulfill({ contentType: 'text/html; charset=utf-8', body: html }))
      }
      await page.goto(url)
      await page.evaluate(() => document.fonts.ready)
      await page.screenshot({ path: join(artifacts, `${name}-${width}${dark ? '-dark' : ''}.png`), fullPage: true })
      await check(page, title, width)
      await context.close()
    }
  }
}

async function check(page, title, width) {
  await page.evaluate(axeSource)
  const { violations } = await page.evaluate((rules) => globalThis.axe.run({ runOnly: rules }), RULES)
  for (const { id, help, nodes } of violations) {
    faults.push(`${title}: ${id} (${help}) at ${nodes.map((node) => node.target.join(' ')).slice(0, 3).join(', ')}`)
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
  if (wide > 0) faults.push(`${title}: ${wide} px wider than the screen`)
  if (width < 500) {
    const small = await page.evaluate((min) => [...document.querySelectorAll('nav a, button, .button, input:not([type=hidden], [type=radio]), select, textarea, .choice, summary')]
      .filter((element) => element.getBoundingClientRect().height > 0 && element.getBoundingClientRect().height < min)
      .map((element) => element.textContent.trim() || element.id), TARGET_PX_MIN)
    if (small.length > 0) faults.push(`${title}: targets under ${TARGET_PX_MIN} px: ${small.join(', ')}`)
  }
}

/** WCAG 2.2, 1.4.10: a page needs no sideways scrolling at 320 px. */
async function reflow(browser, state, url, name) {
  const context = await browser.newContext({ viewport: { width: 320, height: 640 }, storageState: state })
  const page = await context.newPage()
  await page.goto(url)
  await page.evaluate(() => document.fonts.ready)
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
  if (wide > 0) faults.push(`${name} at 320 px: ${wide} px wider than the screen`)
  await context.close()
}

/** Bytes a browser fetches to show a page for the first time. */
async function firstView(browser, state, url) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, storageState: state, javaScriptEnabled: false })
  const page = await context.newPage()
  let bytes = 0
  const reading = []
  page.on('response', (response) => reading.push(response.body().then((body) => { bytes += body.length }, () => {})))
  await page.goto(url, { waitUntil: 'networkidle' })
  await Promise.all(reading)
  await context.close()
  return bytes
}

async function sendDevices(browser, state, url) {
  const context = await browser.newContext({ ...{ viewport: { width: 390, height: 844 } }, storageState: state, javaScriptEnabled: false })
  const page = await context.newPage()
  await page.goto(`${url}/send/device`)
  await page.fill('#maker', 'Lumo')
  await page.click('text=Add to the parcel')
  assert.match(await page.textContent('main'), /Please look again at/)
  assert.equal(await page.inputValue('#maker'), 'Lumo', 'what was typed stays')
  await look(browser, page, 'send-device-errors')
  const answers = async (swollen) => {
    for (const name of ['burnt', 'hot', 'leaking', 'pierced', 'recalled']) await page.check(`input[name=${name}][value=no]`)
    await page.check(`input[name=swollen][value=${swollen}]`)
    await page.check('input[name=cell_seen][value=no]')
    await page.check('input[name=kind][value=phone]')
    await page.fill('#model', 'M2')
    await page.fill('#identifier', '490154203237517')
    await page.fill('#fault', 'Does not charge')
    await page.check('input[name=liquid][value=no]')
    await page.check('input[name=data_needed][value=yes]')
  }
  await answers('yes')
  await page.click('text=Add to the parcel')
  assert.match(await page.textContent('main'), /Do not post this device/)
  await look(browser, page, 'send-stop')
  await page.click('text=Change the answers')
  await answers('no')
  await page.click('text=Add, and one more')
  await page.waitForURL('**/send/device')
  await page.goto(`${url}/send`)
  await page.setInputFiles('#file', {
    name: 'list.csv',
    mimeType: 'text/csv',
    buffer: Buffer.from('kind,maker,model,fault\ntablet,Aurel,Slate 9,no touch\nphone,Aurel\n'),
  })
  await page.click('summary')
  await page.click('text=Add from the file')
  assert.match(await page.textContent('main'), /Line 3: it has 2 columns/)
  await look(browser, page, 'send-list')
  await page.click('text=Take out device 2')
  await page.click('text=Announce the parcel')
  await page.waitForURL('**/parcels/*?done=announced')
  await look(browser, page, 'parcel-announced')
  const slip = await page.request.get(await page.getAttribute('text=Slip for the box', 'href').then((href) => url + href))
  assert.equal(slip.headers()['content-type'], 'application/pdf')
  await context.close()
}

async function answerQuote(browser, state, url, job) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, storageState: state, javaScriptEnabled: false })
  const page = await context.newPage()
  await page.goto(`${url}/devices/${job}`)
  await page.click('text=Agree to 101.50 EUR')
  await page.waitForURL('**?done=agreed')
  assert.match(await page.textContent('main'), /Agreed \(today/)
  await look(browser, page, 'device-agreed')
  await context.close()
}

/** The checks on a page with known faults: a check that finds nothing there would prove nothing elsewhere. */
async function proveChecks(browser) {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 } })
  await page.setContent('<!doctype html><html><title>x</title><body><main><h1>x</h1><p style="color:#bbb;background:#fff;width:900px">faint and wide</p><button style="height:20px;width:20px"></button></main></body></html>')
  await check(page, 'seeded', 390)
  const found = faults.splice(0).join('\n')
  for (const part of ['html-has-lang', 'color-contrast', 'button-name', 'wider than the screen', 'targets under']) {
    assert.ok(found.includes(part), `the checks did not find the seeded fault “${part}”: ${found}`)
  }
  await page.close()
}

mkdirSync(artifacts, { recursive: true })
const server = await startServer()
const browser = await chromium.launch({
  executablePath: process.env.WAYBENCH_BROWSER ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
})
try {
  await proveChecks(browser)
  const { url } = server
  const full = await signIn(browser, server.full.link, 'mira@counter.example')
  const empty = await signIn(browser, server.empty.link, 'kai@counter.example')
  const long = await signIn(browser, server.long.link, 'with.a.very.long.name.indeed@counter-of-the-long-shop.example')
  const fresh = undefined
  await lookAt(browser, fresh, `${url}/sign-in`, 'sign-in')
  await lookAt(browser, fresh, `${url}/r/${server.digest}`, 'report')
  await lookAt(browser, fresh, `${url}/no-such-page`, 'not-found')
  await lookAt(browser, fresh, server.full.link, 'invite-over')
  for (const [name, path] of [['devices', '/devices'], ['device', `/devices/${server.full.job}`], ['parcels', '/parcels'], ['send', '/send'], ['send-device', '/send/device'], ['account', '/account']]) {
    await lookAt(browser, full, url + path, name)
  }
  for (const [name, path] of [['devices-empty', '/devices'], ['parcels-empty', '/parcels']]) await lookAt(browser, empty, url + path, name)
  for (const [name, path] of [['devices-long', '/devices'], ['device-long', `/devices/${server.long.job}`]]) await lookAt(browser, long, url + path, name)
  await sendDevices(browser, empty, url)
  await answerQuote(browser, full, url, server.full.job)
  for (const [name, state, path] of [['sign-in', fresh, '/sign-in'], ['devices', full, '/devices']]) {
    const bytes = await firstView(browser, state, url + path)
    console.log(`first view of ${name}: ${bytes} bytes`)
    if (bytes > FIRST_VIEW_BYTES_MAX) faults.push(`${name}: the first view takes ${bytes} bytes, more than ${FIRST_VIEW_BYTES_MAX}`)
  }
} finally {
  await browser.close()
  await server.stop()
}
for (const fault of new Set(faults)) console.error(fault)
console.log(`${new Set(faults).size} faults; screenshots in ${artifacts}`)
process.exitCode = faults.length > 0 ? 1 : 0
