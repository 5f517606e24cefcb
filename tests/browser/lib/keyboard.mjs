/** Working the screens by keyboard alone: Tab to where a thing is, arrows within a group, letters into a field. */
import assert from 'node:assert/strict'

/** Tab presses after which a thing counts as out of reach; a leaf with a long trail has about two hundred stops. */
const TABS_MAX = 400

/** Between two keys: a person's pace. Faster than a hand, a text that ends with Enter counts as a scan and is taken out of its field. */
const KEY_MS = 80

const hasFocus = (element) => element.evaluate((node) => node === document.activeElement)

/** Presses Tab until the first element of `locator` has the focus. */
export async function tabTo(page, locator, words = String(locator)) {
  const element = await locator.first().elementHandle()
  for (let step = 0; step <= TABS_MAX; step += 1) {
    if (await hasFocus(element)) return
    await page.keyboard.press('Tab')
  }
  assert.fail(`${words} is not reached by Tab`)
}

/** Goes to a field and writes into it over what stands there. */
export async function writeInto(page, field, text) {
  await tabTo(page, field)
  await page.keyboard.press('Control+A')
  if (text === '') await page.keyboard.press('Delete')
  else await page.keyboard.type(text, { delay: KEY_MS })
}

/** Goes to a button or link and presses Enter on it. */
export async function pressOn(page, control) {
  await tabTo(page, control)
  await page.keyboard.press('Enter')
}

/** Goes to a tick and presses Space on it. */
export async function tick(page, box) {
  await tabTo(page, box)
  await page.keyboard.press('Space')
  assert.ok(await box.first().isChecked(), 'the tick was not set by Space')
}

/** Goes into a group of radio buttons by Tab and to one of them by the arrows. */
export async function choose(page, group, name) {
  const radios = group.getByRole('radio')
  const wanted = group.getByRole('radio', { name, exact: true })
  const count = await radios.count()
  const inGroup = () => group.evaluate((node) => node.contains(document.activeElement) && document.activeElement.matches('input[type=radio]'))
  for (let step = 0; !(await inGroup()); step += 1) {
    assert.ok(step < TABS_MAX, `the group of “${name}” is not reached by Tab`)
    await page.keyboard.press('Tab')
  }
  if (!(await wanted.isChecked()) && (await hasFocus(await wanted.elementHandle()))) await page.keyboard.press('Space')
  for (let step = 0; step < count && !(await wanted.isChecked()); step += 1) await page.keyboard.press('ArrowDown')
  assert.ok(await wanted.isChecked(), `“${name}” was not chosen by the arrows`)
}
