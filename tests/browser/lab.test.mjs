/**
 * The lab's screens in a browser, on a desk with a lab in it: every place is looked at, light and dark, in the smallest window
 * that is usual and in a large one; then the day's work is done by keyboard and by the main forms.
 */
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { launch } from './lib/browser.mjs'
import { furnish, startEmptyDesk } from './lib/lab.mjs'
import { focusFault, lookAtAll } from './lib/look.mjs'
import { artifacts } from './lib/places.mjs'
import { Screens } from './lib/screens.mjs'

const SIZES = [{ width: 1280, height: 800 }, { width: 1920, height: 1080 }]
/** Enough Tab presses to be well inside any place. */
const TABS = 25
const WHOLE_RACK = { shop_id: null, stage: null, words: '', with_returned: false }

const folder = artifacts('lab')
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

/** Opens the screens for one test and closes them whatever happens. A page that complains fails the test. */
async function withScreens(work, onDesk = desk) {
  const screens = await Screens.open(browser, onDesk, SIZES[0])
  try {
    await work(screens)
    assert.deepEqual(screens.complaints, [], 'the page complained')
  } finally {
    await screens.close()
  }
}

for (const [name, path, shown] of [
  ['dock', () => 'dock', () => ['Harbour Phones']],
  ['rack', () => 'rack', () => Object.values(lab.jobs).map((job) => job.reference)],
  ['bench-quoted', () => `bench/${lab.jobs.quoted.job_id}`, () => [lab.jobs.quoted.reference, 'Starts up', '184.50']],
  ['bench-fresh', () => `bench/${lab.jobs.fresh.job_id}`, () => [lab.jobs.fresh.reference, 'Pibo']],
  ['bench-finished', () => `bench/${lab.jobs.finished.job_id}`, () => [lab.jobs.finished.reference, 'C4012', 'Starts up']],
  ['bench-swollen', () => `bench/${lab.jobs.swollen.job_id}`, () => [lab.jobs.swollen.reference]],
  ['outbound', () => 'outbound', () => [lab.jobs.finished.reference]],
  ['shops', () => 'shops', () => lab.shops.map((shop) => shop.brief?.name ?? 'Harbour Phones')],
  ['setup', () => 'setup', () => ['Solder Lane Works']],
]) {
  test(`the place “${name}” shows what is there and has no fault at any size, light or dark`, () => withScreens(async (screens) => {
    await screens.go(path())
    const text = await screens.text()
    for (const words of shown()) assert.ok(text.includes(words), `“${words}” is not shown, only: ${text.slice(0, 600)}`)
    assert.deepEqual(await lookAtAll(screens.page, folder, name, SIZES), [])
  }))
}

test('an empty desk asks first what it belongs to, and founds a lab by its form', async () => {
  const empty = await startEmptyDesk()
  try {
    await withScreens(async (screens) => {
      const { page } = screens
      assert.deepEqual(await lookAtAll(page, folder, 'first', SIZES), [])
      await page.getByRole('link', { name: 'Found a lab' }).click()
      assert.deepEqual(await lookAtAll(page, folder, 'first-found', SIZES), [])
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
      assert.deepEqual(await lookAtAll(page, folder, 'first-refused', SIZES), [])
      await page.getByLabel('Country').fill('IE')
      await page.keyboard.press('Control+Enter')
      await page.locator('[data-scan-line]').waitFor()
      const state = await empty.desk.call('state')
      assert.equal(state.lab.name, 'Tin and Flux')
      assert.equal(state.person.name, 'Aoife Brandt')
    }, empty.desk)
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
  assert.deepEqual(await lookAtAll(page, folder, 'dock-take-in', SIZES), [])
  await page.getByRole('button', { name: 'Take it in', exact: true }).click()
  await page.getByRole('button', { name: 'Record what is seen' }).waitFor()
  assert.deepEqual(await lookAtAll(page, folder, 'dock-parcel', SIZES), [])
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
  assert.deepEqual(await lookAtAll(page, folder, 'dock-counted', SIZES), [])
  const after = (await desk.call('rack', WHOLE_RACK)).rows
  assert.equal(after.length, before + 1, 'the counted device is not in the house')
  assert.ok(after.some((row) => row.device.includes('M3') && row.fault === 'no charge'), 'the counted device has other words than were typed')
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
  const places = await page.locator('nav a[aria-keyshortcuts]').evaluateAll((links) => links.map((link) => [link.getAttribute('aria-keyshortcuts'), link.textContent.trim(), link.getAttribute('href')]))
  assert.ok(places.length >= 6, `only ${places.length} places have a key`)
  for (const [keys, name, href] of places) {
    await page.keyboard.press(keys)
    await screens.settled()
    const current = await page.locator('nav a[aria-current=page]').innerText()
    assert.ok(name.startsWith(current.split('\n')[0].trim()) || current.startsWith(name), `${keys} leads to “${current}”, not to “${name}” (${href})`)
  }
  await page.locator('main').focus()
  await page.keyboard.press('?')
  await page.locator('dialog[open]').waitFor()
  await page.keyboard.press('Escape')
  await page.locator('dialog[open]').waitFor({ state: 'detached' })
}))

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
