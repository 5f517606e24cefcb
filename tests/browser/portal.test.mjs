/**
 * The portal as a shop's user meets it: signing in by the invite link, the devices, a quote, sending devices. Every page is
 * looked at on a phone and on a desk, light and dark. All is done without script, since the pages bring none.
 *
 * The server and its invented lab are the example `portal_fixture` of `sync-server`.
 */
import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { Validator } from '@seriousme/openapi-schema-validator'
import { Ajv2020 } from 'ajv/dist/2020.js'
import addFormats from 'ajv-formats'
import { launch, openPage } from './lib/browser.mjs'
import { cutOffFaults, lookAtAll } from './lib/look.mjs'
import { artifacts, program } from './lib/places.mjs'
import { firstLine, start } from './lib/processes.mjs'
import { after, before, test } from './lib/test.mjs'

const READY_MS = 30_000
const OUTPUT_FD = 1
const PHONE = { width: 390, height: 844 }
const SIZES = [PHONE, { width: 1280, height: 800 }]
/** To this width a page must fit without a second scroll bar (WCAG 2.2, success criterion 1.4.10). */
const REFLOW = { width: 320, height: 640 }
/** What a counter's slow connection brings within a moment; pictures of a device come on top, in their own time. */
const FIRST_VIEW_BYTES_MAX = 60 * 1024
/** A thumb's width on a phone, as for gloved hands in the lab. */
const TARGET_PX_MIN = 44
const PASSWORD = 'copper and rosin'

const folder = artifacts('portal')
let server
let browser
/** Cookies of the users of three shops: one with many devices, one with none yet, one with long names. */
const users = {}

before(async () => {
  const fixture = start(program('examples/portal_fixture'), [], {
    pipeFd: OUTPUT_FD, openInput: true, logPath: join(folder, 'server.log'), env: { RUST_LOG: 'warn' },
  })
  server = { ...JSON.parse(await firstLine(fixture, 'the address of the server', READY_MS)), stop: fixture.stop }
  browser = await launch()
})
after(async () => {
  await browser?.close()
  await server?.stop()
})

/** A page of a user without script, or of a visitor who has not signed in. */
function visit(storageState, size = PHONE) {
  return openPage(browser, { ...size, storageState, javaScriptEnabled: false })
}

/** Looks at the page that `page` shows now. Checks need script, so it is shown once more, from the same bytes, where there is some. */
async function look(page, name) {
  await lookAtBytes(page.url(), name, await page.content())
}

async function lookAtAddress(storageState, path, name) {
  const page = await visit(storageState)
  await page.goto(server.url + path)
  await look(page, name)
  await page.context().close()
}

async function lookAtBytes(url, name, html) {
  const page = await openPage(browser, { ...PHONE, deviceScaleFactor: 2 })
  await page.route(url, (route) => route.fulfill({ contentType: 'text/html; charset=utf-8', body: html }))
  await page.goto(url)
  const faults = await lookAtAll(page, folder, name, SIZES, { fullPage: true, rules: ['best-practice'], extra: smallTargets })
  await page.setViewportSize(REFLOW)
  faults.push(...(await cutOffFaults(page)).map((fault) => `${name}-${REFLOW.width}: ${fault}`))
  await page.context().close()
  assert.deepEqual(faults, [])
}

async function smallTargets(page, width) {
  if (width !== PHONE.width) return []
  const small = await page.evaluate((min) => {
    const targets = 'nav a, button, .button, input:not([type=hidden], [type=radio], [type=checkbox]), select, textarea, .choice, summary'
    return [...document.querySelectorAll(targets)]
      .filter((element) => element.getBoundingClientRect().height > 0 && element.getBoundingClientRect().height < min)
      .map((element) => element.textContent.trim() || element.id)
  }, TARGET_PX_MIN)
  return small.map((target) => `the target "${target}" is under ${TARGET_PX_MIN} px high`)
}

/** Sets a password through an invite link. */
async function signIn(shop, email) {
  const page = await visit()
  await page.goto(server[shop].link)
  if (shop === 'full') await look(page, 'invite')
  await page.fill('#name', 'Mira Oduya')
  await page.fill('#email', email)
  await page.fill('#password', PASSWORD)
  await page.click('text=Set the password and go in')
  await page.waitForURL('**/devices?done=welcome')
  users[shop] = await page.context().storageState()
  await page.context().close()
}

test('the check of targets finds one that is too small', async () => {
  const page = await openPage(browser, PHONE)
  await page.setContent('<nav><a href="/">small</a></nav><button style="height:60px">large</button>')
  assert.deepEqual(await smallTargets(page, PHONE.width), ['the target "small" is under 44 px high'])
  await page.context().close()
})

test('an invite link sets a password and signs the user in', async () => {
  await signIn('full', 'mira@counter.example')
  await signIn('empty', 'kai@counter.example')
  await signIn('long', 'with.a.very.long.name.indeed@counter-of-the-long-shop.example')
})

test('an invite link works once', async () => {
  const page = await visit()
  await page.goto(server.full.link)
  assert.equal(await page.locator('#password').count(), 0, 'the used link still offers to set a password')
  await look(page, 'invite-over')
  await page.context().close()
})

test('a password signs in, and a wrong one is refused in words', async () => {
  const page = await visit()
  await page.goto(`${server.url}/sign-in`)
  await look(page, 'sign-in')
  await page.fill('input[type=email], #email', 'mira@counter.example')
  await page.fill('input[type=password]', 'not the password')
  await page.click('main button')
  assert.ok(page.url().includes('sign-in'), `a wrong password led to ${page.url()}`)
  await look(page, 'sign-in-refused')
  await page.fill('input[type=password]', PASSWORD)
  await page.click('main button')
  await page.waitForURL('**/devices**')
  await page.context().close()
})

test('a device is not shown to anybody else', async () => {
  for (const state of [undefined, users.empty]) {
    const page = await visit(state)
    const answer = await page.goto(`${server.url}/devices/${server.full.job}`)
    const text = await page.textContent('body')
    assert.ok(!text.includes('Agree to'), `${page.url()} shows a stranger another shop's quote (status ${answer.status()})`)
    assert.ok(answer.status() === 404 || page.url().includes('/sign-in'), `a stranger got ${answer.status()} at ${page.url()}`)
    await page.context().close()
  }
})

for (const [name, shop, path] of [
  ['devices', 'full', () => '/devices'],
  ['device', 'full', () => `/devices/${server.full.job}`],
  ['parcels', 'full', () => '/parcels'],
  ['send', 'full', () => '/send'],
  ['send-device', 'full', () => '/send/device'],
  ['account', 'full', () => '/account'],
  ['check-report', 'full', () => '/check-report'],
  ['check-report-long', 'long', () => '/check-report'],
  ['posting', 'long', () => '/what-may-i-post'],
  ['posting-ordinary', 'full', () => question()],
  ['posting-marked', 'long', () => question({ what: 'laptop', count: 3, cells: 'more', wh: '57.7' })],
  ['posting-hold', 'full', () => question({ wh: '' })],
  ['posting-road-only', 'full', () => question({ seen: 'wrong', F10: 'yes' })],
  ['posting-not-this-way', 'long', () => question({ seen: 'wrong', F10: 'yes', way: 'AIR_PAX' })],
  ['posting-emergency', 'full', () => question({ seen: 'wrong', F31: 'yes' })],
  ['posting-errors', 'long', () => question({ count: '', seen: '', date: '', mah: '3,2' })],
  ['api', undefined, () => '/api/v1/'],
  ['devices-empty', 'empty', () => '/devices'],
  ['parcels-empty', 'empty', () => '/parcels'],
  ['devices-long', 'long', () => '/devices'],
  ['device-long', 'long', () => `/devices/${server.long.job}`],
  ['report', undefined, () => `/r/${server.digest}`],
  ['not-found', undefined, () => '/no-such-page'],
]) {
  test(`the page “${name}” has no fault at any width, light or dark`, () => lookAtAddress(users[shop], path(), name))
}

/** The address that asks about one phone with a sound cell by road in Europe, with some answers changed. */
function question(changes = {}) {
  const answers = {
    what: 'phone', count: 1, parcels: 1, spares: 0, seen: 'fine', chem: 'LI_ION', cells: 'one', wh: '17.3', charge: 25, off: 'yes',
    original: 'yes', country: 'ADR', to: 'AT', way: 'GROUND', carrier: 'none', date: '2026-11-26', ask: 'yes', ...changes,
  }
  return `/what-may-i-post?${new URLSearchParams(answers)}`
}

for (const [at, size] of [['phone', PHONE], ['desktop', SIZES[1]]]) {
  test(`what may be posted is asked and answered before anything is sent, on a ${at}`, () => askWhatMayBePosted(at, size))
}

async function askWhatMayBePosted(at, size) {
  const page = await visit(users.full, size)
  await page.goto(`${server.url}/send`)
  await page.click('text=What may I post?')
  await page.check('input[name=what][value=laptop]')
  await page.fill('#count', '3')
  await page.click('text=Show what the rules say')
  assert.match(await page.textContent('main'), /Please look again at/)
  assert.equal(await page.inputValue('#count'), '3', 'what was typed is lost')
  await page.check('input[name=seen][value=fine]')
  await page.check('input[name=cells][value=more]')
  await page.fill('#wh', '57,7')
  await page.check('input[name=way][value=GROUND]')
  await page.click('text=Show what the rules say')
  const answer = await page.textContent('main')
  assert.match(answer, /May go, with the marks below/)
  assert.match(answer, /100 × 100 mm/)
  await look(page, `posting-asked-${at}`)
  const mark = await page.request.get(server.url + await page.getAttribute('text=Battery mark to print', 'href'))
  assert.equal((await mark.body()).subarray(0, 5).toString(), '%PDF-')
  await page.check('input[name=seen][value=wrong]')
  await page.check('input[name=F10]')
  await page.click('text=Ask again')
  const swollen = await page.textContent('main')
  assert.match(swollen, /By road only, and only by a trained shipper/)
  assert.match(swollen, /Call Harbour Board Lab/)
  await page.context().close()
}

test('a line of what is not known begins with words, never with a rule’s id', async () => {
  const page = await visit(users.full)
  for (const changes of [{}, { wh: '' }, { way: 'AIR_CARGO' }, { seen: 'no' }]) {
    await page.goto(server.url + question(changes))
    const lines = await page.locator('section:has(#unknown) li').allInnerTexts()
    for (const line of lines) assert.doesNotMatch(line, /^R\d/, JSON.stringify(changes))
  }
  await page.context().close()
})

test('the OpenAPI document is valid, and fits every published case and its answer', async () => {
  const specification = await (await fetch(`${server.url}/api/v1/openapi.json`)).json()
  const { valid, errors } = await new Validator().validate(structuredClone(specification))
  assert.ok(valid, JSON.stringify(errors))
  const ajv = new Ajv2020({ strict: false, allErrors: true })
  addFormats(ajv)
  ajv.addFormat('int64', true)
  ajv.addSchema(specification, 'spec')
  const schema = (name) => ajv.getSchema(`spec#/components/schemas/${name}`)
  const check = (name, value) => assert.ok(schema(name)(value), `${JSON.stringify(value)}: ${JSON.stringify(schema(name).errors)}`)
  const operation = specification.paths['/api/v1/transport-verdict'].post
  check('Parcel', operation.requestBody.content['application/json'].example)
  check('Verdict', operation.responses['200'].content['application/json'].example)
  const ask = (parcel) => fetch(`${server.url}/api/v1/transport-verdict`, {
    method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(parcel),
  })
  // Regulators' letters, clauses and notices, each named in the file.
  const { cases } = JSON.parse(readFileSync(new URL('../vectors/transport_cases.json', import.meta.url)))
  assert.ok(cases.length > 0)
  for (const { id, request } of cases) {
    check('Parcel', request)
    const answer = await ask(request)
    assert.equal(answer.status, 200, id)
    check('Verdict', await answer.json())
  }
  const wrong = { regime: 'ADR', wh_lable: 20 }
  assert.ok(!schema('Parcel')(wrong), 'a misspelt field fits the schema')
  const refused = await ask(wrong)
  assert.equal(refused.headers.get('content-type'), 'application/problem+json')
  check('Problem', await refused.json())
})

test('a file that is no report is called so, without script', async () => {
  const page = await visit(users.full)
  await page.goto(`${server.url}/account`)
  await page.click('text=Check a report')
  await page.setInputFiles('#file', { name: 'notes.pdf', mimeType: 'application/pdf', buffer: Buffer.from('%PDF-1.7 nothing') })
  await page.click('main button')
  assert.match(await page.textContent('[role=status]'), /No report in this file/)
  await look(page, 'check-report-answered')
  await page.context().close()
})

/** The bytes of the finished device's report, as its shop gets them. */
async function reportFile() {
  const page = await visit(users.full)
  const answer = await page.request.get(`${server.url}/devices/${server.full.ended}/report.pdf`)
  assert.equal(answer.status(), 200)
  const bytes = await answer.body()
  assert.equal(bytes.subarray(0, 5).toString(), '%PDF-')
  await page.context().close()
  return bytes
}

for (const [at, size] of [['phone', PHONE], ['desktop', SIZES[1]]]) {
  for (const [name, change, title] of [
    ['unaltered', (bytes) => bytes, /^Genuine, and the newest$/],
    // In the header, which no reader minds: the pages look as before.
    ['with one byte changed', (bytes) => { bytes[7] ^= 1; return bytes }, /^Its pages can't be vouched for$/],
    // Among what is packed: the record or a page.
    ['with one byte changed in its middle', (bytes) => { bytes[bytes.length >> 1] ^= 1; return bytes }, /^(Its pages can't be vouched for|Altered|No report in this file)$/],
  ]) {
    test(`a report’s PDF, ${name}, is told for what it is on a ${at}`, async () => {
      const file = change(Buffer.from(await reportFile()))
      const page = await visit(users.full, size)
      await page.goto(`${server.url}/account`)
      await page.click('text=Check a report')
      await page.setInputFiles('#file', { name: 'report.pdf', mimeType: 'application/pdf', buffer: file })
      await page.click('main button')
      assert.match((await page.innerText('#answer')).trim(), title)
      await look(page, `check-report-${name.replaceAll(' ', '-')}-${at}`)
      await page.context().close()
    })
  }
}

test('another shop’s report is answered like one that nobody knows', async () => {
  const file = await reportFile()
  const page = await visit(users.long)
  await page.goto(`${server.url}/check-report`)
  await page.setInputFiles('#file', { name: 'report.pdf', mimeType: 'application/pdf', buffer: file })
  await page.click('main button')
  assert.match(await page.innerText('#answer'), /Not among your reports/)
  await page.context().close()
})

test('a quote is agreed', async () => {
  const page = await visit(users.full)
  await page.goto(`${server.url}/devices/${server.full.job}`)
  await page.click('text=Agree to 101.50 EUR')
  await page.waitForURL('**?done=agreed')
  assert.match(await page.textContent('main'), /Agreed \(today/)
  await look(page, 'device-agreed')
  await page.context().close()
})

test('devices are sent: a hazard is refused, a bad line of a list is named, and the parcel is announced', async () => {
  const page = await visit(users.empty)
  await page.goto(`${server.url}/send/device`)
  await page.fill('#maker', 'Lumo')
  await page.click('text=Add to the parcel')
  assert.match(await page.textContent('main'), /Please look again at/)
  assert.equal(await page.inputValue('#maker'), 'Lumo', 'what was typed is lost')
  await look(page, 'send-device-errors')
  await answerAll(page, 'yes')
  await page.fill('#volts', '3,85')
  await page.fill('#mah', '3200 Ah')
  await page.click('text=Add to the parcel')
  assert.match(await page.textContent('main'), /Do not post this device/)
  await look(page, 'send-stop')
  await page.click('text=Change the answers')
  await answerAll(page, 'no')
  await page.click('text=Add, and one more')
  assert.match(await page.textContent('main'), /did you mean 3200 mAh\?/)
  assert.equal(await page.inputValue('#mah'), '3200 Ah', 'what was typed is lost')
  await look(page, 'send-device-rating')
  await page.fill('#mah', '3200')
  await page.click('text=Add, and one more')
  assert.match(await page.textContent('main'), /Ask the lab about the battery before you post/, 'a battery that nobody has seen asks for the lab\'s answer')
  await look(page, 'send-device-ask')
  await page.fill('#lab_answer', 'Ines Weber: by road, below 30 %')
  await page.click('text=Add, and one more')
  await page.waitForURL('**/send/device')
  await page.goto(`${server.url}/send`)
  await page.setInputFiles('#file', {
    name: 'list.csv',
    mimeType: 'text/csv',
    buffer: Buffer.from('kind,maker,model,fault\ntablet,Aurel,Slate 9,no touch\nphone,Aurel\n'),
  })
  await page.click('summary')
  await page.click('text=Add from the file')
  assert.match(await page.textContent('main'), /Line 3: it has 2 columns/)
  await look(page, 'send-list')
  await page.click('text=Take out device 2')
  await page.click('text=Announce the parcel')
  await page.waitForURL('**/parcels/*?done=announced')
  await look(page, 'parcel-announced')
  const slip = await page.request.get(server.url + await page.getAttribute('text=Slip for the box', 'href'))
  assert.equal(slip.headers()['content-type'], 'application/pdf')
  assert.equal((await slip.body()).subarray(0, 5).toString(), '%PDF-')
  await page.context().close()
})

async function answerAll(page, swollen) {
  for (const name of ['burnt', 'hot', 'leaking', 'pierced', 'recalled', 'dropped']) await page.check(`input[name=${name}][value=no]`)
  await page.check(`input[name=swollen][value=${swollen}]`)
  await page.check('input[name=cell_seen][value=no]')
  await page.check('input[name=kind][value=phone]')
  await page.fill('#model', 'M2')
  // A well-formed IMEI (3GPP TS 23.003, annex B: check digit by Luhn).
  await page.fill('#identifier', '490154203237517')
  await page.fill('#fault', 'Does not charge')
  await page.check('input[name=liquid][value=no]')
  await page.check('input[name=data_needed][value=yes]')
}

test('the first view stays light', async (t) => {
  for (const [name, state, path] of [['sign-in', undefined, '/sign-in'], ['devices', users.full, '/devices']]) {
    const page = await visit(state)
    const bodies = []
    page.on('response', (response) => bodies.push(response.body().then((body) => body.length, () => 0)))
    await page.goto(server.url + path, { waitUntil: 'networkidle' })
    const bytes = (await Promise.all(bodies)).reduce((sum, length) => sum + length, 0)
    await page.context().close()
    t.diagnostic(`${name}: ${bytes} bytes`)
    assert.ok(bytes > 0 && bytes <= FIRST_VIEW_BYTES_MAX, `the first view of ${name} takes ${bytes} bytes, more than ${FIRST_VIEW_BYTES_MAX}`)
  }
})
