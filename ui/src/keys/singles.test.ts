import { beforeEach, expect, test } from 'vitest'
import { Singles } from './singles.svelte'

let singles: Singles
let taken: string[]

beforeEach(() => {
  document.body.innerHTML = '<div id="list"><button>Display</button></div><button id="other">Other</button>'
  taken = []
  singles = new Singles()
  singles.offer(() => document.getElementById('list') ?? undefined, [{ key: 'p', words: 'Pass' }, { key: 'f', words: 'Fail' }], (key) => taken.push(key), (text) => taken.push(text) > 0)
})

const check = (focus: string, text: string, took: boolean, expected: string[]) => {
  document.querySelector<HTMLElement>(focus)?.focus()
  expect([singles.take(text), taken]).toEqual([took, expected])
}

test('a letter works while the list has focus', () => check('#list button', 'p', true, ['p']))
test('a capital is the same letter', () => check('#list button', 'F', true, ['f']))
test('two quick presses are two results', () => check('#list button', 'pp', true, ['p', 'p']))
test('a letter outside the list is none of its business', () => check('#other', 'p', false, []))
test('an unknown letter is not taken', () => check('#list button', 'z', false, []))
test('a word with a known letter in it records nothing', () => check('#list button', 'pz', false, []))
test('a held key records nothing', () => check('#list button', 'pppp', false, []))
test('the begin of a number goes to the list whole', () => check('#list button', '0.94', true, ['0.94']))
test('a number outside the list is none of its business', () => check('#other', '0.94', false, []))
test('a number longer than a reading is not taken', () => check('#list button', '0012345678902', false, []))
