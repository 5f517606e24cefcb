/** A device that came back: its two stays facing, each with its report as it printed. */
import assert from 'node:assert/strict'
import { comeBack, sendBack } from './lib/lab.mjs'
import { lookAtAll } from './lib/look.mjs'
import { artifacts } from './lib/places.mjs'
import { SIZES, withScreensOf } from './lib/screens.mjs'
import { onDeskOfItsOwn } from './lib/suite.mjs'
import { test } from './lib/test.mjs'

/** A tall window, in which whole pages are seen and so drawn. */
const TALL = { width: 1280, height: 2400 }

const folder = artifacts('comeback')
const suite = onDeskOfItsOwn(comeBack)

const withStays = (work, size = TALL) => withScreensOf(suite.browser, suite.desk, size, async (screens) => {
  await screens.go(`bench/${suite.lab.again.job_id}/stays`)
  await work(screens, (name) => screens.page.getByRole('region', { name, exact: true }))
})

/** The pages of a report that are drawn, each with its place and how wide its picture is by itself. */
async function pagesOf(stay) {
  await stay.locator('.page img').first().waitFor()
  return stay.locator('.page img').evaluateAll((images) => images.map((image) => {
    const { x, y, width } = image.getBoundingClientRect()
    return { x, y, width, natural: image.naturalWidth }
  }))
}

// The tests run in the order in which they stand: the second stay has no report until the fourth.
test('a job whose device was here before leads to both stays, by a link and by a key', () => withScreensOf(suite.browser, suite.desk, SIZES[0], async (screens) => {
  const { page } = screens
  await screens.go(`bench/${suite.lab.again.job_id}`)
  await page.getByRole('link', { name: 'Both stays side by side' }).click()
  await page.getByRole('heading', { name: 'Its earlier stay and this one' }).waitFor()
  await page.keyboard.press('Escape')
  await page.waitForURL(`**/#/bench/${suite.lab.again.job_id}`)
  await page.keyboard.press('Alt+R')
  await page.getByRole('heading', { name: 'Its earlier stay and this one' }).waitFor()
}))

test('before this stay has a report, the earlier one’s is shown and the other place says when it fills', () => withStays(async (screens, stay) => {
  const [page] = await pagesOf(stay('Then'))
  assert.ok(page.natural > 0, 'the page of the earlier report is not drawn')
  const now = await stay('Now').innerText()
  assert.match(now, /No report of this stay yet/)
  assert.match(now, /as before/, 'what the shop declared this time is not shown')
  assert.match(await stay('Then').innerText(), /Starts up[\s\S]*Removed C4012[\s\S]*repaired[\s\S]*in warranty until/)
}))

test('a page of a report opens larger and closes by Escape', () => withStays(async ({ page }, stay) => {
  const [small] = await pagesOf(stay('Then'))
  await stay('Then').locator('button.page').first().click()
  const large = await page.locator('dialog[open] img').boundingBox()
  assert.ok(large.width > small.width * 1.2, `${large.width} px is not much more than ${small.width} px`)
  await page.keyboard.press('Escape')
  await page.locator('dialog[open]').waitFor({ state: 'detached' })
}))

test('once both stays have a report, their pages stand side by side on one line', async () => {
  await sendBack(suite.desk, suite.lab.again)
  await withStays(async (_, stay) => {
    const [then] = await pagesOf(stay('Then'))
    const [now] = await pagesOf(stay('Now'))
    assert.ok(then.natural > 0 && now.natural > 0, 'a page is not drawn')
    assert.equal(then.y, now.y, 'they do not begin on one line')
    assert.ok(now.x >= then.x + then.width, 'they do not stand side by side')
  })
})

test('both stays have no fault at any size, light or dark', () => withStays(async (screens, stay) => {
  await pagesOf(stay('Then'))
  assert.deepEqual(await lookAtAll(screens.page, folder, 'stays', SIZES), [])
}, SIZES[0]))

test('the stays of a device that was never here before say so', () => withScreensOf(suite.browser, suite.desk, SIZES[0], async (screens) => {
  await screens.go(`bench/${suite.lab.first.job_id}/stays`)
  assert.match(await screens.text(), /This device was not here before/)
}))
