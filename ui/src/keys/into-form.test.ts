import { afterEach, expect, test } from 'vitest'
import { addInForm, intoForm, takeOver } from './into-form'

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

/** Which buttons a key pressed, with the focus in the element `at`. */
function pressedBy(html: string, at: string, key: (page: HTMLElement) => void): string[] {
  const page = document.createElement('div')
  page.innerHTML = html
  document.body.append(page)
  const pressed: string[] = []
  for (const element of page.querySelectorAll<HTMLElement>('*')) {
    element.scrollIntoView = () => undefined
    element.addEventListener('click', () => pressed.push(element.id))
  }
  document.getElementById(at)?.focus()
  key(page)
  return pressed
}

const OFFERS = '<form><button type="button" data-takes-over id="a"></button><input id="one"></form><form><button type="button" data-takes-over data-adds="part" id="b"></button><input id="two"></form>'

test('words are taken over in the form that lies open', () => expect(pressedBy(OFFERS, 'two', (page) => void takeOver(page))).toContain('b'))
test('with no form open, they are taken over in the first that offers some', () => expect(pressedBy(OFFERS, '', (page) => void takeOver(page))).toContain('a'))
test('after words were taken over, the focus is in the first blank of their form', async () => {
  pressedBy(OFFERS, 'two', () => undefined)
  await takeOver(document.body)
  expect(document.activeElement?.id).toBe('two')
})
test('where nothing is offered, nothing is pressed', () => expect(pressedBy(TWO, 'two', (page) => void takeOver(page))).toEqual([]))
test('what is added is added in the form that has it, wherever the focus is', () => expect(pressedBy(OFFERS, 'one', (page) => addInForm('part', page))).toContain('b'))
