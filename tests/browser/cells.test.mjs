/**
 * The Cell bay and everything else that must work in gloves: the list and a leaf, empty and full; a parcel that stays closed; the
 * cell check; the emergency sheet. Then the whole way of a cell, by keyboard alone.
 */
import assert from 'node:assert/strict'
import { launch } from './lib/browser.mjs'
import { choose, pressOn, tabTo, tick, writeInto } from './lib/keyboard.mjs'
import { dangerousParcel, fillBay, found, furnish, packed, startDesk, startEmptyDesk } from './lib/lab.mjs'
import { focusFault, lookAtAll, smallTargets } from './lib/look.mjs'
import { artifacts } from './lib/places.mjs'
import { SIZES, withScreensOf } from './lib/screens.mjs'
import { after, before, test } from './lib/test.mjs'

/** A tablet at the bench, beside the usual windows. */
const TOUCH = { width: 1024, height: 768 }
const ALL_SIZES = [TOUCH, ...SIZES]
/** A gloved finger. */
const TARGET_PX_MIN = 44
const HOUR_MS = 3_600_000
/** Where the alarm and the way back stand, besides the place itself. */
const GLOVED = 'main, .alarm, footer, dialog[open]'

const folder = artifacts('cells')
const invented = process.env.WAYBENCH_LAB
let browser
let running
let desk
let lab
let bay
let danger
let full

before(async () => {
  browser = await launch()
  running = await startEmptyDesk()
  desk = running.desk
  lab = await furnish(desk)
  bay = await fillBay(desk, lab.shops)
  danger = await dangerousParcel(desk, lab.shops[1], 'RR100000025DE')
  if (invented) full = await startDesk(invented)
})
after(async () => {
  await browser?.close()
  await running?.stop()
  await full?.stop()
})

const withScreens = (work, size = SIZES[0]) => withScreensOf(browser, desk, size, work)
const leafOf = ({ row, job_id, subject }) => `cells/${(subject ?? row?.subject)?.kind ?? 'job'}/${(subject ?? row?.subject)?.id ?? job_id}`
const look = (screens, name, options = {}) => lookAtAll(screens.page, folder, name, ALL_SIZES, {
  fullPage: true, extra: (page) => smallTargets(page, GLOVED, TARGET_PX_MIN), ...options,
})

test('the check of targets finds one that is too small, and takes a label for its tick', () => withScreens(async ({ page }) => {
  await page.setContent('<main><a href="/">small</a><label style="display:block;height:50px"><input type="checkbox">large</label></main>')
  const faults = await smallTargets(page, 'main', TARGET_PX_MIN)
  assert.equal(faults.length, 1)
  assert.match(faults[0], /"small"/)
}))

test('an empty bay teaches what comes here and how', async () => {
  const empty = await startEmptyDesk()
  try {
    await found(empty.desk)
    await withScreensOf(browser, empty.desk, SIZES[0], async (screens) => {
      await screens.go('cells')
      const text = await screens.text()
      for (const words of ['Nothing is in isolation.', 'A device comes here when', 'call the fire service']) assert.ok(text.includes(words), `“${words}” is not said: ${text}`)
      assert.deepEqual(await look(screens, 'bay-empty'), [])
    })
  } finally {
    await empty.stop()
  }
})

test('the bay shows what is in it, emergencies first, long names in full', () => withScreens(async (screens) => {
  await screens.go('cells')
  const text = await screens.text()
  for (const words of [
    bay.long.reference, 'its edition of the year and its keyboard', 'The Very Long Name of a Shop', 'outdoors box, Second shelf from below', 'last Friday of the month',
    bay.removed.reference, 'drum, D2', 'not put away yet', 'nobody moves it', 'Watched where it is', bay.watched.reference, 'Left lately', bay.left.reference,
  ]) assert.ok(text.includes(words), `“${words}” is not shown, only: ${text}`)
  const first = await screens.page.locator('article').first().innerText()
  assert.ok(first.includes(bay.hissing.reference), `the first line is not the emergency: ${first}`)
  assert.deepEqual(await look(screens, 'bay-full'), [])
}))

for (const [name, thing, words] of [
  ['not-put-away', () => bay.swollen, ['Put it in isolation first', 'isolate']],
  ['watched', () => bay.watched, ['watch', 'Take a reading']],
  ['emergency', () => bay.hissing, ['Leave it alone.', 'It stays where it is.', 'It is not taken out, handed over or sent.']],
  ['long', () => bay.long, ['Second shelf from below', 'Looks so far', '11.31 V']],
  ['removed', () => bay.removed, ['Cell of', 'D2']],
  ['left', () => bay.left, ['Copper & Cobalt Recovery', 'BN-2026-00417', 'hand-over record']],
]) {
  test(`the leaf of a cell that is “${name}” has no fault at any size, light or dark`, () => withScreens(async (screens) => {
    await screens.go(leafOf(thing()))
    const text = await screens.text()
    for (const each of words) assert.ok(text.includes(each), `“${each}” is not shown, only: ${text}`)
    assert.deepEqual(await look(screens, `leaf-${name}`), [])
  }))
}

for (const [way, words] of [['Judge it', 'Why, and by what criteria'], ['Take the cell out', 'The cell is out: record it'], ['Send it back as damaged', 'By ground only'], ['Keep it here', 'What for']]) {
  test(`the way out “${way}” has no fault`, () => withScreens(async (screens) => {
    await screens.go(leafOf(bay.long))
    await screens.page.getByLabel(way, { exact: true }).check()
    await screens.page.getByText(words).first().waitFor()
    assert.deepEqual(await look(screens, `way-${way.toLowerCase().replaceAll(' ', '-')}`), [])
  }))
}

test('the leaf of a reacting cell offers nothing for which somebody would go near it', () => withScreens(async (screens) => {
  await screens.go(leafOf(bay.hissing))
  const { page } = screens
  for (const name of ['Take the cell out', 'Send it back as damaged', 'Voltage at rest', 'Position']) assert.equal(await page.getByLabel(name, { exact: true }).count(), 0, `“${name}” is offered`)
  assert.equal(await page.getByRole('button', { name: /bay label/ }).count(), 0, 'a label is offered')
}))

test('an overdue reading is loud on its line and on its leaf', () => withScreens(async (screens) => {
  const { page } = screens
  await page.clock.setFixedTime(Date.now() + 30 * HOUR_MS)
  await screens.go('cells')
  await page.reload()
  await screens.settled()
  await page.getByText(/overdue by/).first().waitFor()
  assert.deepEqual(await look(screens, 'bay-overdue'), [])
  await screens.go(leafOf(bay.removed))
  await page.getByText(/overdue by/).first().waitFor()
  assert.deepEqual(await look(screens, 'leaf-overdue'), [])
}))

test('the bay and the first cell in it have no fault in a lab with weeks of work', { skip: invented ? false : 'WAYBENCH_LAB names no lab' }, () =>
  withScreensOf(browser, full.desk, SIZES[0], async (screens) => {
    await screens.go('cells')
    assert.deepEqual(await look(screens, 'invented-bay'), [])
    const { isolated, watched } = await full.desk.call('cell_bay')
    const [first] = [...isolated, ...watched]
    if (!first) return
    await screens.go(`cells/${first.subject.kind}/${first.subject.id}`)
    assert.deepEqual(await look(screens, 'invented-leaf'), [])
  }))

test('a parcel that is warm and bulging stays closed, until a person with battery knowledge says why it may be opened', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go('dock')
  await page.getByText('Do not open.').first().waitFor()
  assert.deepEqual(await look(screens, 'dock-danger-list'), [])
  await screens.go(`dock/${danger}`)
  assert.match(await screens.text(), /Do not open this parcel/)
  assert.equal(await page.getByRole('button', { name: 'Record the count' }).count(), 0, 'a dangerous parcel can be counted')
  assert.deepEqual(await look(screens, 'dock-danger'), [])
  await pressOn(page, page.getByRole('button', { name: 'I have judged it: it is safe to open' }))
  await page.locator('dialog[open]').waitFor()
  assert.deepEqual(await look(screens, 'dock-release', { fullPage: false }), [])
  await writeInto(page, page.locator('dialog[open] textarea'), 'It had lain in the sun; 24 °C after an hour')
  await page.keyboard.press('Control+Enter')
  await page.getByText('Do not open this parcel.', { exact: true }).waitFor({ state: 'detached' })
  await page.getByRole('button', { name: 'Record the count' }).waitFor()
  assert.match(await screens.text(), /lain in the sun/)
  assert.deepEqual(await look(screens, 'dock-released'), [])
}))

test('what may be a cell at work is ticked in a group of its own, and says at once not to open', () => withScreens(async (screens) => {
  const { page } = screens
  const parcel = await desk.call('receive_parcel', { parcel_id: null, scanned: 'RR100000034DE', shop_id: lab.shops[0].shop_id })
  await screens.go(`dock/${parcel.parcel.parcel_id}`)
  await tick(page, page.getByLabel('smoking, or smells of solvent'))
  await page.getByText('Leave it where it lies').waitFor()
  assert.deepEqual(await look(screens, 'dock-smoking-ticked'), [])
  await pressOn(page, page.getByRole('button', { name: 'Record what is seen' }))
  await page.getByText('Do not open this parcel.', { exact: true }).waitFor()
  assert.deepEqual(await look(screens, 'dock-smoking'), [])
}))

test('the cell check has no target too small, at any size', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(`bench/${lab.jobs.fresh.job_id}/cell_check`)
  assert.deepEqual(await look(screens, 'cell-check-fresh'), [])
  await page.getByLabel('swollen, or lifts the back or screen').check()
  await page.getByRole('button', { name: 'Record the cell check: isolate' }).waitFor()
  assert.deepEqual(await look(screens, 'cell-check-isolate'), [])
  await page.getByLabel('hissing or popping').check()
  await page.getByRole('button', { name: 'Record the cell check: emergency' }).waitFor()
  assert.deepEqual(await look(screens, 'cell-check-emergency'), [])
  await screens.go(`bench/${bay.long.job_id}/cell_check`)
  assert.deepEqual(await look(screens, 'cell-check-again'), [])
}))

const FOUR_LINES = ['Leave the room.', 'Close the door.', 'Raise the alarm.', 'Call the fire service.']

/** Opens the emergency sheet by a key, demands that it covers everything else, and leaves it by Escape. */
async function emergency(screens, key, where) {
  const { page } = screens
  const sheet = page.locator('dialog[aria-label=Emergency][open]')
  await page.keyboard.press(key)
  await sheet.waitFor()
  const { lines, over } = await sheet.evaluate((dialog) => {
    const points = [0.02, 0.25, 0.5, 0.75, 0.98].flatMap((x) => [0.02, 0.25, 0.5, 0.75, 0.98].map((y) => [x * innerWidth, y * innerHeight]))
    return {
      lines: dialog.innerText.split('\n').map((line) => line.trim()).filter(Boolean),
      over: points.filter(([x, y]) => !dialog.contains(document.elementFromPoint(x, y))).length,
    }
  })
  assert.deepEqual(lines, [...FOUR_LINES, 'Back'], `${where}: the sheet says something else`)
  assert.equal(over, 0, `${where}: the sheet does not cover the whole window`)
  await page.keyboard.press('Escape')
  await sheet.waitFor({ state: 'detached' })
}

for (const place of ['dock', 'rack', 'bench', 'cells', 'outbound', 'shops', 'setup', 'setup/people', 'setup/rules']) {
  test(`F9 and Alt+E show the four lines from “${place}”, and Escape returns there`, () => withScreens(async (screens) => {
    await screens.go(place)
    const address = screens.page.url()
    for (const key of ['F9', 'Alt+E']) await emergency(screens, key, place)
    assert.equal(screens.page.url(), address)
  }))
}

test('the emergency key brings the sheet again, however soon after Escape it is pressed', () => withScreens(async ({ page }) => {
  const sheet = page.locator('dialog[aria-label=Emergency][open]')
  for (let time = 0; time < 5; time += 1) {
    await page.keyboard.press('F9')
    await sheet.waitFor()
    await Promise.all([page.keyboard.press('Escape'), page.keyboard.press('F9')])
    await sheet.waitFor()
    await page.keyboard.press('Escape')
    await sheet.waitFor({ state: 'detached' })
  }
}))

test('the emergency sheet comes before there is a lab, too', async () => {
  const empty = await startEmptyDesk()
  try {
    await withScreensOf(browser, empty.desk, SIZES[0], (screens) => emergency(screens, 'F9', 'an empty desk'))
  } finally {
    await empty.stop()
  }
})

test('the emergency sheet comes over an open dialog, which is there again afterwards with all that was typed', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(leafOf(bay.removed))
  await pressOn(page, page.getByRole('button', { name: /^take back/ }))
  const reason = page.locator('dialog[open] textarea')
  await reason.waitFor()
  await reason.pressSequentially('half a reas')
  for (const key of ['F9', 'Alt+E']) {
    await emergency(screens, key, 'an open dialog')
    assert.equal(await reason.inputValue(), 'half a reas', 'what was typed in the dialog is lost')
  }
  await page.keyboard.type('on')
  assert.equal(await reason.inputValue(), 'half a reason', 'the focus is not where it was')
  await page.keyboard.press('Escape')
  await page.locator('dialog[open]').waitFor({ state: 'detached' })
}))

test('the emergency sheet comes while a field is written in, and loses nothing of it', () => withScreens(async (screens) => {
  const { page } = screens
  for (const [place, field] of [
    [leafOf(bay.long), () => page.getByLabel('Surface, hottest place')],
    [`bench/${lab.jobs.quoted.job_id}/words`, () => page.getByRole('textbox', { name: 'To the shop' })],
    [`dock/${danger}`, () => page.locator('[data-scan-line]')],
  ]) {
    await screens.go(place)
    await field().click()
    await page.keyboard.type('12')
    for (const key of ['F9', 'Alt+E']) {
      await emergency(screens, key, place)
      assert.equal(await field().inputValue(), '12', `${place}: what was typed is lost, or the key was typed`)
    }
    await page.keyboard.type('3')
    assert.equal(await field().inputValue(), '123', `${place}: the focus is not where it was`)
    await writeInto(page, field(), '')
  }
}))

test('the emergency sheet has no fault at any size, light or dark', () => withScreens(async (screens) => {
  await screens.go('cells')
  await screens.page.keyboard.press('F9')
  await screens.page.locator('dialog[aria-label=Emergency][open]').waitFor()
  assert.deepEqual(await look(screens, 'emergency', { fullPage: false }), [])
}))

/** Waits for the scan line to say that something was recorded, and returns what it says. */
async function recorded(screens, words) {
  const line = screens.page.locator('form[role=search] [role=status][data-kind=recorded]').filter({ hasText: words })
  await line.waitFor()
  await screens.settled()
  assert.deepEqual(screens.refusals, [], 'the desk refused')
}

test('a cell goes its whole way by keyboard alone: reading, place, removal, hand-over with its paper', () => withScreens(async (screens) => {
  const { page } = screens
  const group = (name) => page.getByRole('group', { name, exact: true })
  const aside = page.locator('aside [role=status]')

  // From anywhere to the bay, and down the list to the swollen one.
  await page.keyboard.press('Alt+B')
  await page.waitForURL('**/#/cells')
  await screens.settled()
  const link = page.locator('a[data-row]', { hasText: bay.swollen.reference })
  await link.waitFor()
  await page.keyboard.press('Alt+ArrowDown')
  for (let step = 0; step < 20 && !(await link.evaluate((node) => node === document.activeElement)); step += 1) await page.keyboard.press('ArrowDown')
  assert.equal(await focusFault(page), null)
  await page.keyboard.press('Enter')
  await page.waitForURL(`**/#/${leafOf(bay.swollen)}*`)
  await page.getByText('Put it in isolation first').waitFor()

  // Its place first, as the page asks.
  await choose(page, group('Place'), 'Cell bay')
  await writeInto(page, page.getByLabel('Position').first(), 'B3')
  await pressOn(page, page.getByRole('button', { name: 'Put it in isolation' }))
  await recorded(screens, 'Where it lies')
  assert.match(await screens.text(), /Cell bay, B3/)

  // A reading, judged while it is typed: hot means emergency, and back.
  await writeInto(page, page.getByLabel('Surface, hottest place'), '64')
  await writeInto(page, page.getByLabel('Room'), '21')
  await aside.locator('[data-level=emergency]').waitFor()
  await writeInto(page, page.getByLabel('Surface, hottest place'), '22.1')
  await aside.locator('[data-level=isolate]').waitFor()
  await writeInto(page, page.getByLabel('Voltage at rest'), 'about four')
  await page.locator('[aria-invalid=true]').waitFor()
  await writeInto(page, page.getByLabel('Voltage at rest'), '3.79')
  // The desk is asked while one types, so that its answer to what stood there before may still be under way.
  await page.locator('[aria-invalid=true]').waitFor({ state: 'detached' })
  await screens.settled()
  screens.refusals.length = 0
  await tick(page, page.getByLabel('swollen, or lifts the back or screen'))
  await page.keyboard.press('Control+Enter')
  await recorded(screens, 'The reading: isolate')
  assert.match(await screens.text(), /3\.79 V/)

  // Taken out: a thing of its own from now on.
  await choose(page, group('Which way'), 'Take the cell out')
  await page.getByRole('button', { name: 'The cell is out: record it' }).waitFor()
  await choose(page, group('The cell lies in'), 'drum')
  await pressOn(page, page.getByRole('button', { name: 'The cell is out: record it' }))
  await page.waitForURL('**/#/cells/cell/*')
  await recorded(screens, 'label it')
  const cell_id = page.url().split('/').at(-1)
  await pressOn(page, page.getByRole('button', { name: 'Open the bay label' }))
  await screens.paper('bay-')

  // Handed over; an empty number is refused beside its field, and the rest stays.
  await choose(page, group('Which way'), 'Hand it to a recycler')
  await writeInto(page, page.getByLabel(/^Recycler/), 'Copper & Cobalt Recovery')
  await page.keyboard.press('Control+Enter')
  await page.locator('[aria-invalid=true]').waitFor()
  assert.equal(await page.getByLabel(/^Recycler/).inputValue(), 'Copper & Cobalt Recovery')
  screens.refusals.length = 0
  await writeInto(page, page.getByLabel(/^Number of its paper/), 'BN-2026-00418')
  await page.keyboard.press('Control+Enter')
  await recorded(screens, 'handed over')
  await pressOn(page, page.getByRole('button', { name: 'Open the hand-over record' }))
  await screens.paper('handover')
  const { row } = await desk.call('cell', { subject: { kind: 'cell', id: cell_id } })
  assert.equal(row.state.left?.kind, 'handed_over')
  assert.equal(row.state.left.record.value.paper_number, 'BN-2026-00418')
  assert.deepEqual(await look(screens, 'leaf-handed-over'), [])
}))

test('a watched cell is judged sound by keyboard, with a reason, and is clear', () => withScreens(async (screens) => {
  const { page } = screens
  await screens.go(leafOf(bay.watched))
  const group = page.getByRole('group', { name: 'Which way', exact: true })
  await choose(page, group, 'Judge it')
  const reason = page.getByLabel(/^Why, and by what criteria/)
  await reason.waitFor()
  await choose(page, page.getByRole('group', { name: 'It is', exact: true }), /^sound/)
  await writeInto(page, reason, 'Opened and seen on all sides, no mark')
  // Another way chosen by mistake loses nothing of the reason.
  await choose(page, group, 'Keep it here')
  await choose(page, group, 'Judge it')
  await reason.waitFor()
  await page.waitForFunction(() => [...document.querySelectorAll('textarea')].some(({ value }) => value === 'Opened and seen on all sides, no mark'))
  await tabTo(page, reason)
  await page.keyboard.press('Control+Enter')
  await recorded(screens, 'Judged sound')
  const { row } = await desk.call('cell', { subject: { kind: 'job', id: bay.watched.job_id } })
  assert.equal(row.state.level, 'clear')
  assert.match(await screens.text(), /Opened and seen on all sides/)
  assert.deepEqual(await look(screens, 'leaf-judged-sound'), [])
}))

test('the papers of a parcel stand in a list with what each is for and how it is printed, and open one by one', () => withScreens(async (screens) => {
  const { page } = screens
  await desk.call('make_report', { job_id: lab.jobs.finished.job_id, size: 'a4' })
  // Of three packages to one address, each needs the battery mark.
  const parcel_id = await packed(desk, lab.shops[0], lab.jobs.finished, { packages: 3 })
  await screens.go(`outbound/${parcel_id}`)
  assert.deepEqual(await look(screens, 'outbound-verdict', { extra: () => [] }), [])
  await pressOn(page, page.getByRole('button', { name: 'Make the papers' }))
  const list = page.getByRole('list', { name: 'Papers to print' })
  await list.waitFor()
  assert.deepEqual(screens.opened, [], 'a paper was opened that nobody asked for')
  const words = await list.innerText()
  for (const part of ['Packing instruction', 'Battery mark', 'with 3 marks', 'Print at 100 %, no scaling']) assert.ok(words.includes(part), `“${part}” is not said: ${words}`)
  assert.deepEqual(await look(screens, 'outbound-papers', { extra: () => [] }), [])
  await pressOn(page, page.getByRole('button', { name: 'Open the battery mark' }))
  await screens.paper('battery-mark')
  assert.equal(screens.opened.length, 1)
  await pressOn(page, page.getByRole('button', { name: 'Open the packing instruction' }))
  await screens.paper('packing-instruction')
  // Another sheet makes other papers, so that the old ones are not printed by mistake.
  await choose(page, page.getByRole('group', { name: 'Paper', exact: true }).first(), 'Letter')
  await list.waitFor({ state: 'detached' })

  await desk.call('ship_parcel', { parcel_id, tracking: '395060001234567894', carrier: '' })
  await screens.go('outbound')
  await screens.go(`outbound/${parcel_id}`)
  await page.getByText('shipped').first().waitFor()
  screens.opened.length = 0
  await pressOn(page, page.getByRole('button', { name: 'Make them again' }))
  await pressOn(page, page.getByRole('button', { name: 'Open the battery mark' }))
  await screens.paper('battery-mark')
  assert.deepEqual(await look(screens, 'outbound-papers-again', { extra: () => [] }), [])
}))
