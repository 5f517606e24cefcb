/**
 * The lab's screens in a browser, on a desk with a lab in it: every place is looked at, light and dark, in the smallest window
 * that is usual and in a large one; then the day's work is done by keyboard and by the main forms.
 */
import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { launch } from './lib/browser.mjs'
import { furnish, startDesk, startEmptyDesk } from './lib/lab.mjs'
import { cutOffFaults, focusFault, lookAtAll } from './lib/look.mjs'
import { artifacts } from './lib/places.mjs'
import { SIZES, withScreensOf } from './lib/screens.mjs'
import { after, before, test } from './lib/test.mjs'

/** Enough Tab presses to be well inside any place. */
const TABS = 25

const folder = artifacts('lab')
/** The invented lab with weeks of work in it, if there is one: lists as long as they get. */
const invented = process.env.WAYBENCH_LAB
let full
let browser
let running
let desk
let lab

before(async () => {
  browser = await launch()
  running = await startEmptyDesk()
  desk = running.desk
  lab = await furnish(desk)
  if (invented) full = await startDesk(invented)
})
after(async () => {
  await browser?.close()
  await running?.stop()
  await full?.stop()
})

const withScreens = (work) => withScreensOf(browser, desk, SIZES[0], work)

for (const [name, path, shown] of [
  ['dock', () => 'dock', () => ['Harbour Phones']],
  ['rack', () => 'rack', () => Object.values(lab.jobs).map((job) => job.reference)],
  ['bench-quoted', () => `bench/${lab.jobs.quoted.job_id}`, () => [lab.jobs.quoted.reference, 'Starts up', '184.50']],
  ['bench-fresh', () => `bench/${lab.jobs.fresh.job_id}`, () => [lab.jobs.fresh.reference, 'Pibo']],
  ['bench-finished', () => `bench/${lab.jobs.finished.job_id}`, () => [lab.jobs.finished.reference, 'C4012', 'Starts up']],
  ['bench-swollen', () => `bench/${lab.jobs.swollen.job_id}`, () => [lab.jobs.swollen.reference]],
  ['outbound', () => 'outbound', () => [lab.jobs.finished.reference]],
  ['shops', () => 'shops', () => lab.shops.map((shop) => shop.brief?.name ?? 'Harbour Phones')],
  ['shop', () => `shops/${lab.shops[1].shop_id}`, () => ['The Very Long Name of a Shop']],
  ['shop-new', () => 'shops/new', () => []],
  ['setup', () => 'setup', () => ['Solder Lane Works']],
  ['setup-papers', () => 'setup/papers', () => ['Record the texts']],
  ['setup-printers', () => 'setup/printers', () => []],
  ['setup-people', () => 'setup/people', () => ['Ines Kallweit', 'Tom Abiola']],
  ['setup-tests', () => 'setup/tests', () => ['Starts up']],
  ['setup-server', () => 'setup/server', () => []],
  ['setup-pictures', () => 'setup/pictures', () => []],
  ['setup-boards', () => 'setup/boards', () => ['No board is known yet']],
  ['setup-procedures', () => 'setup/procedures', () => ['No procedure is written yet']],
  ['setup-lots', () => 'setup/lots', () => ['No lot is recorded yet']],
  ['setup-rules', () => 'setup/rules', () => ['Trained for lithium shipments']],
  ['setup-reports', () => 'setup/reports', () => ['without a network']],
  ['setup-backup', () => 'setup/backup', () => []],
]) {
  test(`the place “${name}” shows what is there and has no fault at any size, light or dark`, () => withScreens(async (screens) => {
    await screens.go(path())
    const text = await screens.text()
    for (const words of shown()) assert.ok(text.includes(words), `“${words}” is not shown, only: ${text.slice(0, 600)}`)
    assert.deepEqual(await lookAtAll(screens.page, folder, name, SIZES), [])
  }))
}

/** The smallest that the window can be made (`minWidth` and `minHeight` in `src-tauri/tauri.conf.json`). */
const SMALLEST = { width: 960, height: 640 }

test('nothing is cut off or wider than its page in the smallest window', () => withScreens(async (screens) => {
  const { page } = screens
  await page.setViewportSize(SMALLEST)
  const faults = []
  for (const place of ['dock', 'rack', 'bench', 'cells', 'outbound', 'shops', `shops/${lab.shops[1].shop_id}`, `bench/${lab.jobs.finished.job_id}`,
    ...['papers', 'tests', 'rules', 'people', 'reports'].map((leaf) => `setup/${leaf}`)]) {
    await screens.go(place)
    faults.push(...(await cutOffFaults(page)).map((fault) => `${place}: ${fault}`))
    const tooWide = await page.locator('main').evaluate((main) => main.scrollWidth - main.clientWidth)
    if (tooWide > 1) faults.push(`${place}: its page is ${tooWide} px wider than it shows`)
  }
  assert.deepEqual(faults, [])
}))

test('a word that ends nowhere makes its field higher, and nothing wider', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go('setup/papers')
  const field = page.getByLabel('Warranty')
  const before = await field.boundingBox()
  await field.fill('x'.repeat(900))
  const after = await field.boundingBox()
  assert.equal(after.width, before.width)
  assert.ok(after.height > before.height, `it is ${after.height} px high, as before`)
}))

for (const place of ['dock', 'rack', 'bench', 'outbound', 'shops', 'setup/tests']) {
  test(`the place “${place}” has no fault in a lab with weeks of work`, { skip: invented ? false : 'WAYBENCH_LAB names no lab' }, () =>
    withScreensOf(browser, full.desk, SIZES[0], async (screens) => {
      await screens.go(place)
      assert.ok((await screens.text()).length > 100, 'nothing is shown')
      assert.deepEqual(await lookAtAll(screens.page, folder, `full-${place.replace('/', '-')}`, SIZES), [])
    }))
}

for (const outcome of ['', 'repaired']) {
  test(`the spread of a job ${outcome ? 'that is done' : 'in the house'} has no fault in a lab with weeks of work`, { skip: invented ? false : 'WAYBENCH_LAB names no lab' }, async () => {
    const { rows } = await full.desk.call('rack', { shop_id: null, stage: null, words: '', with_returned: true })
    const job = rows.find((row) => (outcome ? row.outcome === outcome : row.cell_level !== null && row.outcome === ''))
    assert.ok(job, `there is no such job among ${rows.length}`)
    await withScreensOf(browser, full.desk, SIZES[0], async (screens) => {
      await screens.go(`bench/${job.job_id}`)
      assert.ok((await screens.text()).includes(job.reference), 'the spread does not show its reference')
      assert.deepEqual(await lookAtAll(screens.page, folder, `full-spread-${outcome || 'open'}`, SIZES), [])
    })
  })
}

test('when the window has opened, the focus is on the scan line', () => withScreens(async ({ page }) => {
  await page.waitForFunction(() => document.activeElement?.matches('[data-scan-line]'))
}))

test('the scan line takes a job’s reference from anywhere and opens its spread', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go('setup')
  await page.locator('main').focus()
  await page.keyboard.press('/')
  await page.waitForFunction(() => document.activeElement?.matches('[data-scan-line]'))
  await page.keyboard.type(lab.jobs.quoted.reference)
  await page.keyboard.press('Enter')
  await page.waitForURL(`**/#/bench/${lab.jobs.quoted.job_id}*`)
  await screens.settled()
  assert.ok((await screens.text()).includes(lab.jobs.quoted.reference), 'the spread does not show its reference')
}))

test('a wrong check character is named, and nothing is opened', () => withScreens(async (screens) => {
  const { reference } = lab.jobs.quoted
  const wrong = reference.slice(0, -1) + (reference.endsWith('A') ? 'B' : 'A')
  await screens.scan(wrong)
  assert.ok(!screens.page.url().includes('/bench/'), `a wrong reference led to ${screens.page.url()}`)
  assert.ok((await screens.said()).trim().length > 0, 'the scan line says nothing about it')
}))

test('a text that means nothing is said to mean nothing', () => withScreens(async (screens) => {
  await screens.scan('zzzz no such thing')
  assert.match(await screens.said(), /No match/)
}))

test('every place can be reached by its key, and ? lists the keys', () => withScreens(async (screens) => {
  const { page } = screens
  const places = await page.locator('nav[aria-label=Places] a').evaluateAll((links) => links.map((link) => [link.getAttribute('aria-keyshortcuts'), link.textContent.trim(), link.getAttribute('href')]))
  assert.ok(places.length >= 6, `only ${places.length} places have a key`)
  for (const [keys, name, href] of places) {
    await page.keyboard.press(keys)
    await screens.settled()
    const current = await page.locator('nav[aria-label=Places] a[aria-current=page]').innerText()
    assert.ok(name.startsWith(current.split('\n')[0].trim()) || current.startsWith(name), `${keys} leads to “${current}”, not to “${name}” (${href})`)
  }
  await page.locator('main').focus()
  await page.keyboard.press('?')
  await page.locator('dialog[open]').waitFor()
  await page.keyboard.press('Escape')
  await page.locator('dialog[open]').waitFor({ state: 'detached' })
}))

const LEAVES = ['cell_check', 'look_over', 'before', 'quote', 'work', 'after', 'report', 'words', 'trail']

for (const leaf of LEAVES) {
  test(`the leaf “${leaf}” of a finished job has no fault, light or dark`, () => withScreens(async (screens) => {
    await screens.go(`bench/${lab.jobs.finished.job_id}/${leaf}`)
    const text = await screens.text()
    assert.ok(!text.includes('There is no such leaf'), 'there is no such leaf')
    assert.deepEqual(await lookAtAll(screens.page, folder, `leaf-${leaf}`, [SIZES[0]]), [])
  }))
}

for (const place of ['dock', 'rack', 'bench', 'outbound', 'shops', 'setup']) {
  test(`the focus can be seen on every step of a walk by Tab through “${place}”`, () => withScreens(async (screens) => {
    await screens.go(place === 'bench' ? `bench/${lab.jobs.quoted.job_id}` : place)
    await screens.page.locator('[data-scan-line]').focus()
    for (let step = 1; step <= TABS; step += 1) {
      await screens.page.keyboard.press('Tab')
      const leftThePage = await screens.page.evaluate(() => document.activeElement === document.body || !document.hasFocus())
      if (leftThePage) break
      const fault = await focusFault(screens.page)
      assert.equal(fault, null, `after ${step} times Tab: ${fault}`)
    }
  }))
}

test('several files are checked as reports in one go, and each answer stands with its file', () => withScreens(async (screens) => {
  const { page } = screens
  const { job_id, reference } = lab.jobs.finished
  const { path } = await desk.call('make_report', { job_id, size: 'a4' })
  const report = readFileSync(path)
  const altered = Buffer.from(report)
  altered[altered.indexOf('stream\n') + 200] ^= 1
  await screens.go('setup/reports')
  await page.locator('main input[type=file]').setInputFiles([
    { name: 'as-it-was-made.pdf', mimeType: 'application/pdf', buffer: report },
    { name: 'one-byte-changed.pdf', mimeType: 'application/pdf', buffer: altered },
    { name: 'a-picture-renamed.pdf', mimeType: 'application/pdf', buffer: Buffer.from('\x89PNG and no more') },
  ])
  await page.getByText('a-picture-renamed.pdf', { exact: true }).waitFor()
  const answers = await page.locator('main li[data-standing]').evaluateAll((lines) => lines.map((line) => [line.querySelector('.mono').textContent, line.dataset.standing, line.querySelector('h3').textContent]))
  assert.deepEqual(answers, [
    ['a-picture-renamed.pdf', 'no_report', 'No report in it'],
    ['one-byte-changed.pdf', 'pages_unproved', 'Pages not proved'],
    ['as-it-was-made.pdf', 'genuine', 'Genuine, and the newest'],
  ])
  assert.ok((await screens.text()).includes(reference), 'the job is not named')
  assert.deepEqual(await lookAtAll(page, folder, 'reports-checked', [SIZES[0], SMALLEST]), [])
}))

test('a button counts as pressed even when leaving a field brings up an error above it', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(`bench/${lab.jobs.quoted.job_id}/quote`)
  await page.getByRole('button', { name: 'Name another price' }).click()
  await page.getByLabel('How much').fill('a hundred')
  await page.getByRole('button', { name: 'add a line' }).click()
  await page.getByLabel('And for').waitFor()
  await page.getByText('Write an amount in EUR').waitFor()
}))

test('the disagreements of the quiet line lead to the jobs that have one, and say so when there is none', () => withScreens(async (screens) => {
  await screens.go('rack?only=disagreements')
  const text = await screens.text()
  assert.ok(text.includes('No disagreement is left'), text.slice(0, 400))
  assert.ok(!text.includes(lab.jobs.quoted.reference), 'a job without a disagreement is listed')
}))
