/**
 * The day's work by its forms: a lab is founded, a parcel is taken in and counted, and one device goes the whole way from the
 * cell check to its carrier. What the desk has recorded in the end is what was typed.
 */
import assert from 'node:assert/strict'
import { fileURLToPath } from 'node:url'
import { launch } from './lib/browser.mjs'
import { furnish, startEmptyDesk } from './lib/lab.mjs'
import { lookAtAll } from './lib/look.mjs'
import { artifacts } from './lib/places.mjs'
import { waitUntil } from './lib/processes.mjs'
import { SIZES, withScreensOf } from './lib/screens.mjs'
import { after, before, test } from './lib/test.mjs'

const WHOLE_RACK = { shop_id: null, stage: null, words: '', with_returned: false }
/** Forms are looked at once; every place is looked at in both sizes by the suite of the places. */
const LOOKED_AT = [SIZES[0]]
/** A paper opens in a page of its own, which takes the browser a moment. */
const OPENED_MS = 5_000

const folder = artifacts('forms')
let browser
let running
let desk
let lab

before(async () => {
  browser = await launch()
  running = await startEmptyDesk()
  desk = running.desk
  lab = await furnish(desk)
})
after(async () => {
  await browser?.close()
  await running?.stop()
})

const withScreens = (work) => withScreensOf(browser, desk, SIZES[0], work)

test('an empty desk asks first what it belongs to, and founds a lab by its form', async () => {
  const empty = await startEmptyDesk()
  try {
    await withScreensOf(browser, empty.desk, SIZES[0], async (screens) => {
      const { page } = screens
      assert.deepEqual(await lookAtAll(page, folder, 'first', SIZES), [])
      await page.getByRole('link', { name: 'Found a lab' }).click()
      assert.deepEqual(await lookAtAll(page, folder, 'first-found', LOOKED_AT), [])
      await page.getByLabel('The lab\'s name').fill('Tin and Flux')
      await page.getByLabel('Country').fill('Ireland')
      await page.getByLabel('Currency').fill('EUR')
      await page.getByLabel('Time zone').fill('Europe/Dublin')
      await page.getByLabel('Warranty on repairs').fill('90')
      await page.getByLabel('The owner\'s name').fill('Aoife Brandt')
      await page.getByLabel('What this desktop is called').fill('dock')
      await page.getByRole('button', { name: 'Found the lab' }).click()
      await screens.settled()
      assert.equal(await page.locator('[aria-invalid=true]').inputValue(), 'Ireland', 'a country that is no code of two letters is not refused beside its field')
      assert.deepEqual(await lookAtAll(page, folder, 'first-refused', LOOKED_AT), [])
      await page.getByLabel('Country').fill('IE')
      await page.keyboard.press('Control+Enter')
      await page.locator('[data-scan-line]').waitFor()
      const state = await empty.desk.call('state')
      assert.equal(state.lab.name, 'Tin and Flux')
      assert.equal(state.person.name, 'Aoife Brandt')
    })
  } finally {
    await empty.stop()
  }
})

test('a parcel that nobody announced is taken in, looked at and counted by keyboard and scanner', () => withScreens(async (screens) => {
  const { page } = screens
  const before = (await desk.call('rack', WHOLE_RACK)).rows.length
  // A free S10 number with its right check digit (UPU S10: weights 8 6 4 2 3 5 9 7, modulo 11).
  await screens.scan('RR473124829DE')
  await page.getByRole('button', { name: 'Take it in as a parcel' }).click()
  await page.getByLabel('Harbour Phones').check()
  assert.deepEqual(await lookAtAll(page, folder, 'dock-take-in', LOOKED_AT), [])
  await page.getByRole('button', { name: 'Take it in', exact: true }).click()
  await page.getByRole('button', { name: 'Record what is seen' }).waitFor()
  assert.deepEqual(await lookAtAll(page, folder, 'dock-parcel', LOOKED_AT), [])
  await page.getByLabel('crushed').check()
  await page.getByLabel('In words').fill('one corner pushed in')
  await page.keyboard.press('Control+Enter')
  await page.getByText('one corner pushed in').first().waitFor()
  await page.getByRole('button', { name: 'Add a device' }).click()
  await page.getByLabel('phone').check()
  await page.getByLabel('Maker').fill('Lumo')
  await page.getByLabel('Model').fill('M3')
  await page.getByLabel('The fault').fill('no charge')
  await page.getByRole('button', { name: 'Record the count' }).click()
  await screens.settled()
  await page.getByText('Lumo M3').first().waitFor()
  assert.deepEqual(await lookAtAll(page, folder, 'dock-counted', LOOKED_AT), [])
  const after = (await desk.call('rack', WHOLE_RACK)).rows
  assert.equal(after.length, before + 1, 'the counted device is not in the house')
  assert.ok(after.some((row) => row.device.includes('M3') && row.fault === 'no charge'), 'the counted device has other words than were typed')
}))

/** Presses the main button of a form, demands that the desk records it, and returns what the scan line says. */
async function record(screens, words) {
  const { page } = screens
  const refused = screens.refusals.length
  await page.getByRole('button', { name: words, exact: true }).click()
  await screens.settled()
  assert.deepEqual(screens.refusals.slice(refused), [], `“${words}” was refused`)
  await page.locator('form[role=search] [role=status][data-kind=recorded]').waitFor()
  return screens.said()
}

/** Gives the test at hand a result by its buttons: the first answer of that kind where it has answers, else the verdict itself. */
async function giveResult(screens, passes) {
  const answers = screens.page.locator('.answers', { hasText: passes ? 'Passes' : 'Fails' }).getByRole('button')
  if ((await answers.count()) === 0) return record(screens, passes ? 'Pass' : 'Fail')
  const name = (await answers.first().innerText()).replace(/\s+/g, ' ').trim()
  return record(screens, name)
}

async function jobView(job) {
  return (await desk.call('job', { job_id: job.job_id })).job
}

test('a swollen cell is judged while it is typed, and the bench is told to isolate it', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(`bench/${lab.jobs.checked.job_id}/cell_check`)
  await page.getByLabel('swollen, or lifts the back or screen').check()
  await page.getByRole('button', { name: 'Record the cell check: isolate' }).waitFor()
  await page.getByLabel('Voltage at rest').fill('three')
  await page.getByRole('button', { name: /Record the cell check/ }).click()
  await page.locator('[aria-invalid=true]').waitFor()
  assert.equal(await page.getByLabel('Voltage at rest').inputValue(), 'three', 'what was typed is lost')
  assert.deepEqual(await lookAtAll(page, folder, 'cell-check-refused', LOOKED_AT), [])
  await page.getByLabel('Voltage at rest').fill('3.71')
  await record(screens, 'Record the cell check: isolate')
  const { cell_level } = (await desk.call('job', { job_id: lab.jobs.checked.job_id })).row
  assert.equal(cell_level, 'isolate')
}))

test('one device goes the whole way by its forms: cell check, look-over, before, quote, work, after, report, return', () => withScreens(async (screens) => {
  const { page } = screens
  const job = lab.jobs.fresh
  const go = (leaf) => screens.go(`bench/${job.job_id}/${leaf}`)

  await go('cell_check')
  await page.getByLabel('seen, nothing wrong').check()
  for (const [field, value] of [['Voltage at rest', '3.82'], ['Cells in series', '1'], ['Surface of the cell', '21.4'], ['Room', '21.0'], ['Energy', '6.1'], ['Nominal voltage', '3.7'], ['Capacity', '1650'], ['Highest charge voltage', '4.2']]) {
    await page.getByLabel(field, { exact: true }).fill(value)
  }
  await page.getByLabel('lithium-ion or lithium-polymer').check()
  await record(screens, 'Record the cell check: clear')

  await go('look_over')
  await page.getByLabel('Identifier', { exact: true }).fill('PB-00217')
  await record(screens, 'Record the identifiers')
  await page.getByLabel('off: nobody is signed in').check()
  await record(screens, 'Record what is seen')

  await go('before')
  await page.locator('.row', { has: page.locator('input:checked') }).first().getByLabel('shows the fault').check()
  await record(screens, /^Choose \d+ tests?$/)
  await page.getByRole('toolbar', { name: 'Tests before' }).waitFor()
  const rows = page.getByRole('toolbar', { name: 'Tests before' }).getByRole('button')
  const tests = await rows.count()
  assert.ok(tests > 0, 'no test was chosen by the fault’s words')
  for (let index = 0; index < tests; index += 1) await giveResult(screens, false)
  assert.equal((await jobView(job)).comparison.filter(({ before }) => before?.verdict === 'fail').length, tests, 'not every test has failed before')

  await go('quote')
  await page.getByLabel('What for').fill('Renew the speaker’s contacts')
  await page.getByLabel('How much').fill('42')
  assert.match(await record(screens, 'Set the quote'), /agreed at once/)
  assert.deepEqual(await lookAtAll(page, folder, 'quote-agreed', LOOKED_AT), [])

  await go('work')
  await page.getByLabel('What was done').fill('Cleaned and re-tinned the contacts')
  await page.getByLabel('Tool', { exact: true }).fill('iron, 330 °C')
  await record(screens, 'Record the step')

  await go('after')
  for (let index = 0; index < tests; index += 1) await giveResult(screens, true)
  assert.ok((await jobView(job)).comparison.every(({ joint }) => joint === 'fixed'), 'not every test is fixed')

  await go('report')
  await page.getByRole('radio', { name: /^repaired The declared/ }).check()
  await page.getByLabel('What the shop should know').fill('Sound is back.')
  await record(screens, 'Set the outcome')
  await page.getByRole('button', { name: 'Make the report' }).click()
  await page.getByRole('button', { name: 'Open the return report' }).waitFor()
  assert.ok(await waitUntil(() => screens.opened.length === 1, OPENED_MS), 'the report was not opened')
  await page.waitForFunction(() => !document.hidden)
  const { reports } = await jobView(job)
  assert.equal(reports.length, 1, 'the report is not recorded')
  const paper = await fetch(`${desk.origin}/paper/report-${job.reference}.pdf?token=${desk.token}`)
  assert.equal(Buffer.from(await paper.arrayBuffer()).subarray(0, 5).toString(), '%PDF-', 'the report is no PDF')
  await screens.go(`bench/${job.job_id}`)
  assert.deepEqual(await lookAtAll(page, folder, 'spread-done', SIZES), [])

  await returnByPost(screens, job)
}))

/** Packs the job into a parcel, refuses a wrong one, weighs and ships. */
async function returnByPost(screens, job) {
  const { page } = screens
  await screens.go('outbound')
  await page.getByRole('button', { name: /^Begin a parcel/ }).first().click()
  await page.waitForURL('**/#/outbound/*')
  await screens.settled()
  await screens.scan(lab.jobs.quoted.reference)
  await page.getByText('Stop: not into this parcel.').waitFor()
  assert.deepEqual(await lookAtAll(page, folder, 'outbound-refused', LOOKED_AT), [])
  await page.getByRole('button', { name: 'I have put it aside' }).click()
  await screens.scan(job.reference)
  await page.getByLabel('On the scale').fill('412')
  await record(screens, 'Record the weight')
  await page.getByRole('group', { name: 'How it goes' }).getByLabel('by road').check()
  await page.getByRole('group', { name: 'Whose law it starts under' }).getByLabel('European road (ADR)').check()
  await page.getByRole('button', { name: 'Ask for the verdict' }).click()
  await screens.settled()
  assert.deepEqual(await lookAtAll(page, folder, 'outbound-verdict', LOOKED_AT), [])
  await page.getByLabel('Tracking number').fill('395060001234567894')
  await page.getByRole('button', { name: 'It was handed over: ship it' }).click()
  await page.getByRole('button', { name: 'Yes, ship it' }).click()
  await page.getByText('Custody has ended').first().waitFor()
  assert.deepEqual(await lookAtAll(page, folder, 'outbound-shipped', LOOKED_AT), [])
  assert.equal((await jobView(job)).stage, 'returned')
}

test('a picture that was added twice by mistake shows twice and breaks nothing', () => withScreens(async (screens) => {
  const { page } = screens
  const { job_id } = lab.jobs.quoted
  const picture = fileURLToPath(new URL('./pictures/board.jpg', import.meta.url))
  await screens.go(`bench/${job_id}/before`)
  for (const times of [1, 2]) {
    await page.getByLabel('Choose pictures').setInputFiles(picture)
    await page.waitForFunction((count) => [...document.querySelectorAll('main img')].filter((image) => image.naturalWidth > 0).length >= count, times)
    await screens.settled()
  }
  await screens.go(`bench/${job_id}`)
  assert.ok((await screens.text()).includes(lab.jobs.quoted.reference), 'the spread is not shown')
  assert.deepEqual(await lookAtAll(page, folder, 'spread-same-picture-twice', LOOKED_AT), [])
}))

test('what was recorded can be undone from the scan line, and stays in the trail', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(`bench/${lab.jobs.quoted.job_id}/words`)
  await page.getByLabel('For the lab').fill('The shop calls back on Friday')
  await record(screens, 'Keep the note')
  await page.getByRole('button', { name: 'undo' }).click()
  await screens.settled()
  const { job, trail } = await desk.call('job', { job_id: lab.jobs.quoted.job_id })
  assert.equal(job.notes.length, 0, 'the note still stands')
  assert.ok(trail.some(({ withdrawn }) => withdrawn), 'the trail has lost the note')
}))

test('what was typed survives leaving the place', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(`bench/${lab.jobs.quoted.job_id}/words`)
  await page.getByRole('textbox', { name: 'To the shop' }).fill('Half a sentence')
  await page.keyboard.press('Alt+2')
  await screens.settled()
  await page.waitForFunction(() => location.hash.startsWith('#/rack'))
  await screens.go(`bench/${lab.jobs.quoted.job_id}/words`)
  await page.waitForFunction(() => [...document.querySelectorAll('textarea')].some((field) => field.value === 'Half a sentence'))
}))

test('a shop is added, and a country that is no code is refused beside its field', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go('shops/new')
  await page.getByLabel('The shop\'s name').fill('Mole Street Mobiles')
  await page.getByLabel('Country').fill('Deutschland')
  await page.getByRole('button', { name: 'Add the shop' }).click()
  await page.locator('[aria-invalid=true]').waitFor()
  assert.equal(await page.locator('[aria-invalid=true]').inputValue(), 'Deutschland')
  await page.getByLabel('Country').fill('DE')
  await record(screens, 'Add the shop')
  assert.ok(JSON.stringify(await desk.call('shops')).includes('Mole Street Mobiles'), 'the shop is not among the shops')
}))
