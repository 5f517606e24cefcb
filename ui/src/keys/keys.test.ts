import { beforeEach, describe, expect, test } from 'vitest'
import { matches, parseChord, printed } from './chord'
import { Keys, type Command } from './registry.svelte'

const press = (key: string, more: KeyboardEventInit = {}) => new KeyboardEvent('keydown', { key, cancelable: true, ...more })

describe('a chord', () => {
  test.each([
    ['/', press('/'), true],
    ['?', press('?', { shiftKey: true }), true],
    ['/', press('/', { shiftKey: true }), true],
    ['Alt+1', press('1', { altKey: true, code: 'Digit1' }), true],
    ['Alt+1', press('¡', { altKey: true, code: 'Digit1' }), true],
    ['Alt+1', press('1', { code: 'Digit1' }), false],
    ['Mod+Enter', press('Enter', { ctrlKey: true }), true],
    ['Mod+Enter', press('Enter', { ctrlKey: true, shiftKey: true }), false],
    ['Shift+ArrowUp', press('ArrowUp', { shiftKey: true }), true],
    ['ArrowUp', press('ArrowUp', { shiftKey: true }), false],
  ])('%s meets the key press: case %#', (chord, event, expected) => expect(matches(parseChord(chord), event, false)).toBe(expected))

  test('Mod is Command on a Mac', () => {
    expect(matches(parseChord('Mod+Enter'), press('Enter', { metaKey: true }), true)).toBe(true)
    expect(printed(parseChord('Mod+Enter'), true)).toEqual(['Command', 'Enter'])
  })

  test('of a bare letter or digit is refused, because a label may begin with it', () => {
    expect(() => parseChord('p')).toThrow(/scanned label/)
    expect(() => parseChord('7')).toThrow(/scanned label/)
  })

  test('with an unknown modifier is refused', () => expect(() => parseChord('Hyper+x')).toThrow(/not a key/))

  test('is printed as words', () => expect(printed(parseChord('Alt+Shift+ArrowUp'), false)).toEqual(['Alt', 'Shift', 'Up']))
})

describe('the registry', () => {
  let keys: Keys
  let ran: string[]
  const command = (id: string, key: string, scope = 'everywhere'): Command => ({ id, words: id, keys: [key], scope, run: () => ran.push(id) })

  beforeEach(() => {
    keys = new Keys()
    ran = []
    document.body.innerHTML = '<textarea></textarea>'
  })

  test("runs the place's own command before the one for everywhere", () => {
    keys.register(command('all', 'Alt+n'), command('bench', 'Alt+n', 'bench'))
    keys.handle(press('n', { altKey: true, code: 'KeyN' }), 'bench')
    keys.handle(press('n', { altKey: true, code: 'KeyN' }), 'dock')
    expect(ran).toEqual(['bench', 'all'])
  })

  test('leaves a person who is writing alone, but not Alt', () => {
    keys.register(command('sheet', '?'), command('dock', 'Alt+1'))
    document.querySelector('textarea')?.focus()
    expect(keys.handle(press('?'), 'dock')).toBe(false)
    expect(keys.handle(press('1', { altKey: true, code: 'Digit1' }), 'dock')).toBe(true)
    expect(ran).toEqual(['dock'])
  })

  test('refuses two commands with one key in one scope', () => {
    keys.register(command('one', 'Alt+n'))
    expect(() => keys.register(command('two', 'Alt+n'))).toThrow('two has the id or a key of one')
  })

  test('Escape steps back from what was opened last', () => {
    const closeFirst = keys.onBack(() => ran.push('first'))
    const closeSecond = keys.onBack(() => ran.push('second'))
    keys.handle(press('Escape'), 'dock')
    closeSecond()
    keys.handle(press('Escape'), 'dock')
    closeFirst()
    expect(keys.handle(press('Escape'), 'dock')).toBe(false)
    expect(ran).toEqual(['second', 'first'])
  })

  test('a command that can not be used now does nothing', () => {
    keys.register({ ...command('one', 'Alt+n'), when: () => false })
    expect(keys.handle(press('n', { altKey: true }), 'dock')).toBe(false)
  })

  test("the sheet lists the place's own first, and nothing that was taken off", () => {
    const off = keys.register(command('gone', 'Alt+g'))
    keys.register(command('all', '/'), command('bench', 'Alt+b', 'bench'), command('rack', 'Alt+r', 'rack'))
    off()
    expect(keys.listed('bench').map(({ id }) => id)).toEqual(['bench', 'all'])
  })
})
