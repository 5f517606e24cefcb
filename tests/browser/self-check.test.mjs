/** The checks of the other suites, on pages with known faults: a check that finds nothing there proves nothing elsewhere. */
import assert from 'node:assert/strict'
import { launch, openPage } from './lib/browser.mjs'
import { axeFaults, cutOffFaults, focusFault } from './lib/look.mjs'
import { after, before, test } from './lib/test.mjs'

const GOOD = '<h1>A page</h1><p>Nothing is wrong here.</p><label>Volts <input></label><button>Record</button>'

let browser
before(async () => { browser = await launch() })
after(() => browser.close())

async function faultsOf(body, check, style = '') {
  const page = await openPage(browser, { width: 800, height: 600 })
  await page.setContent(`<!doctype html><html lang="en"><title>A page</title><style>${style}</style><main>${body}</main></html>`)
  const faults = await check(page)
  await page.context().close()
  return faults
}

test('a page without faults passes', async () => {
  assert.deepEqual(await faultsOf(GOOD, axeFaults), [])
  assert.deepEqual(await faultsOf(GOOD, cutOffFaults), [])
})

for (const [what, rule, body] of [
  ['faint text', 'color-contrast', '<p style="color:#aaa;background:#fff">hard to read</p>'],
  ['a picture without words', 'image-alt', '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">'],
  ['a field without a name', 'label', '<input>'],
  ['a button without a name', 'button-name', '<button></button>'],
  ['two targets of a few pixels side by side (WCAG 2.2)', 'target-size', `<div style="display:flex">${'<button style="width:9px;height:9px;padding:0;border:0" aria-label="more"></button>'.repeat(2)}</div>`],
]) {
  test(`${what}: found`, async () => {
    const faults = await faultsOf(GOOD + body, axeFaults)
    assert.ok(faults.some((fault) => fault.startsWith(`${rule}:`)), `found only: ${faults.join(' | ') || 'nothing'}`)
  })
}

for (const [what, expected, body] of [
  ['text that is cut at its right', /hides \d+ px at its right/, '<p style="width:60px;overflow:hidden;white-space:nowrap">cut off in the middle of a word</p>'],
  ['text that is cut at its bottom', /hides \d+ px at its bottom/, '<p style="width:60px;height:20px;overflow:hidden">several lines in the height of one</p>'],
  ['a page that is wider than the screen', /wider than the screen/, '<p style="width:1200px">wide</p>'],
  ['a button that is smaller than its words', /wider than it is/, '<button style="width:40px;padding:0;white-space:nowrap">Record the reading</button>'],
]) {
  test(`${what}: found`, async () => {
    const faults = await faultsOf(body, cutOffFaults)
    assert.ok(faults.some((fault) => expected.test(fault)), `found only: ${faults.join(' | ') || 'nothing'}`)
  })
}

test('a focus that can’t be seen is found, and one that can is not', async () => {
  const afterTab = async (page) => {
    await page.keyboard.press('Tab')
    return focusFault(page)
  }
  assert.match(await faultsOf('<button>Record</button>', afterTab, 'button { outline: none }'), /can't be seen/)
  assert.equal(await faultsOf('<button>Record</button>', afterTab), null)
})
