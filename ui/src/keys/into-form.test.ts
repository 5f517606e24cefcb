import { afterEach, expect, test } from 'vitest'
import { intoForm } from './into-form'

afterEach(() => document.body.replaceChildren())

/** Where the focus is after so many presses of the key on this page. */
function check(html: string, presses: number, at: string): void {
  const page = document.createElement('div')
  page.innerHTML = html
  document.body.append(page)
  // Nothing is drawn here, so that nothing can be brought into sight.
  for (const element of page.querySelectorAll('*')) element.scrollIntoView = () => undefined
  for (let press = 0; press < presses; press += 1) intoForm(page)
  expect(document.activeElement?.id ?? '').toBe(at)
}

const TWO = '<button id="b"></button><form><input id="one"><input id="two"></form><form><textarea id="three"></textarea></form>'

test('the first press leads to the first blank of the first form', () => check(TWO, 1, 'one'))
test('the second press leads to the next form', () => check(TWO, 2, 'three'))
test('after the last form comes the first again', () => check(TWO, 3, 'one'))
test('what is closed or out of use is passed over', () => check('<form><input disabled><details><input></details><input id="open"></form>', 1, 'open'))
test('of radio buttons, the chosen one takes the focus', () =>
  check('<form><input type="radio" name="r"><input type="radio" name="r" checked id="chosen"><input id="after"></form>', 1, 'chosen'))
test('where none is chosen, the first takes it', () => check('<form><input type="radio" name="r" id="first"><input type="radio" name="r"></form>', 1, 'first'))
test('a form without a blank is passed over', () => check('<form><button></button></form><form><select id="pick"></select></form>', 1, 'pick'))
test('a page without a form keeps the focus where it is', () => check('<button id="b"></button>', 1, ''))
