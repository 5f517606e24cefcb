/** A second device with the fault of one that was repaired: its words are taken over by a key, so that none is typed twice. */
import assert from 'node:assert/strict'
import { likeBefore } from './lib/lab.mjs'
import { lookAtAll } from './lib/look.mjs'
import { artifacts } from './lib/places.mjs'
import { SIZES, withScreensOf } from './lib/screens.mjs'
import { onDeskOfItsOwn } from './lib/suite.mjs'
import { test } from './lib/test.mjs'

const folder = artifacts('precedent')
const suite = onDeskOfItsOwn(likeBefore)

const onLeaf = (leaf, work) => withScreensOf(suite.browser, suite.desk, SIZES[0], async (screens) => {
  await screens.go(`bench/${suite.lab.second.job_id}/${leaf}`)
  await screens.page.getByRole('button', { name: 'Take over' }).first().waitFor()
  await work(screens)
})

const recorded = async (screens, words) => {
  await screens.page.waitForFunction((part) => document.body.innerText.includes(part), words)
  await screens.settled()
}

const job = async () => (await suite.desk.call('job', { job_id: suite.lab.second.job_id })).job

// The tests run in the order in which they stand: each records what the next one follows.
test('what would be taken over stands in the form, with the job it comes from, and has no fault in light or dark', () => onLeaf('quote', async (screens) => {
  const text = await screens.text()
  for (const words of ['The main supply is shorted to ground (C4012)', 'Renew the charging circuit 49.00', suite.lab.first.reference]) assert.ok(text.includes(words), `“${words}” is not shown`)
  assert.deepEqual(await lookAtAll(screens.page, folder, 'quote', SIZES), [])
}))

test('a diagnosis and a quote are taken over and recorded in four strokes', () => onLeaf('quote', async (screens) => {
  const { keyboard } = screens.page
  await keyboard.press('Alt+O')
  await screens.page.waitForFunction(() => document.activeElement?.value === 'The main supply is shorted to ground')
  await keyboard.press('Control+Enter')
  await recorded(screens, 'The diagnosis')
  await keyboard.press('Alt+O')
  await screens.page.waitForFunction(() => document.activeElement?.value === 'Renew the charging circuit')
  await keyboard.press('Control+Enter')
  await recorded(screens, 'agreed at once')
  const { diagnoses, quote } = await job()
  assert.deepEqual([diagnoses[0].value.text, diagnoses[0].value.suspect], ['The main supply is shorted to ground', 'C4012'])
  assert.deepEqual(quote.heads[0].value.lines.map(({ text, amount }) => [text, amount.minor]), [['Renew the charging circuit', 4900]])
}))

test('what was begun is never written over: with a word in the form, nothing is offered for it', () => onLeaf('work', async (screens) => {
  const { page } = screens
  await page.getByLabel('What was done').fill('Looked at it under the microscope')
  assert.equal(await page.getByRole('button', { name: 'Take over' }).count(), 0)
  await page.keyboard.press('Alt+O')
  assert.equal(await page.getByLabel('What was done').inputValue(), 'Looked at it under the microscope')
  await page.getByLabel('What was done').fill('')
  await screens.settled()
}))

test('a step of work is taken over without what was measured, and the next one is no longer offered', () => onLeaf('work', async (screens) => {
  const { page } = screens
  assert.deepEqual(await lookAtAll(page, folder, 'work', SIZES), [])
  await page.keyboard.press('Alt+O')
  await page.waitForFunction(() => document.activeElement?.value === 'Removed C4012 and fitted a new one')
  await page.keyboard.press('Control+Enter')
  await recorded(screens, 'The step')
  const { steps } = await job()
  assert.deepEqual([steps[0].value.text, steps[0].value.tool, steps[0].value.heat], ['Removed C4012 and fitted a new one', 'Hot air', null])
  assert.equal(await page.getByRole('button', { name: 'Take over' }).count(), 0)
}))

for (const [key, rows] of [['Alt+P', 'parts'], ['Alt+H', 'heat'], ['Alt+J', 'jumper']]) {
  test(`${key} opens the ${rows} of a step and leads into them`, () => withScreensOf(suite.browser, suite.desk, SIZES[0], async (screens) => {
    const { page } = screens
    await screens.go(`bench/${suite.lab.second.job_id}/work`)
    await page.getByLabel('What was done').focus()
    await page.keyboard.press(key)
    await page.waitForFunction((name) => document.activeElement?.closest(`[data-row-of=${name}]`), rows)
  }))
}

test('when everything speaks for it, “repaired” is chosen already, and a person still records it', () => withScreensOf(suite.browser, suite.desk, SIZES[0], async (screens) => {
  await suite.desk.call('record_result', {
    job_id: suite.lab.second.job_id, phase: 'after', code: 'power.start', result: { kind: 'pass' }, note: '', photos: [], assembly: { kind: 'closed' }, trace: null,
  })
  await screens.go(`bench/${suite.lab.second.job_id}/report`)
  assert.ok(await screens.page.getByRole('radio', { name: /^repaired/ }).first().isChecked())
  assert.equal((await job()).outcome.heads.length, 0)
}))
