import { describe, expect, test } from 'vitest'
import { characterByCode, chooseReading } from './layout'
import { idle, settle, step, usualSettings, type Answer, type Key, type ScannerSettings, type State, type Target } from './machine'
import { ScanQueue } from './queue'

const codeOf = (character: string): string =>
  /^[a-z]$/i.test(character) ? `Key${character.toUpperCase()}` : /\d/.test(character) ? `Digit${character}` : character === ':' ? 'Semicolon' : character

function keys(text: string[], gap_ms: number, target: Target, start_ms = 1000): Key[] {
  return text.map((key, index) => ({ key, code: codeOf(key), shift: key === ':' || /^[A-Z]$/.test(key), ctrl: false, at_ms: start_ms + index * gap_ms, target }))
}

/** Feeds keys and gives what the machine wanted done, besides passing and holding. */
function check(input: Key[], settings: Partial<ScannerSettings> = {}): { said: Answer[]; all: Answer[]; state: State } {
  let state: State = idle
  const all: Answer[] = []
  for (const key of input) {
    const [next, answer] = step(state, key, { ...usualSettings, ...settings })
    state = next
    all.push(answer)
  }
  return { state, all, said: all.filter(({ do: what }) => what === 'scan' || what === 'type') }
}

const label = [...'WB:J:7K3M2Q9XT']

describe('with a suffix', () => {
  test('a fast run that ends with Enter is a scan, and no key of it reaches the page', () => {
    const { said, all } = check(keys([...label, 'Enter'], 8, 'nowhere'))
    expect(said).toEqual([{ do: 'scan', text: 'WB:J:7K3M2Q9XT', from_field: false }])
    expect(all.some(({ do: what }) => what === 'pass')).toBe(false)
  })

  test('a person typing with nothing in focus ends up in the scan line, with no letter lost', () => {
    const { said } = check(keys(['v', 'e'], 180, 'nowhere'))
    expect(said).toEqual([{ do: 'type', text: 've' }])
  })

  test('one held letter is given to the scan line when no other follows', () => {
    const { state } = check(keys(['v'], 0, 'nowhere'))
    expect(settle(state, 1000 + 20, usualSettings)[1]).toEqual({ do: 'pass' })
    expect(settle(state, 1000 + 400, usualSettings)).toEqual([idle, { do: 'type', text: 'v' }])
  })

  test('a scan into a focused note is taken out of it, and says so', () => {
    expect(check(keys([...label, 'Enter'], 8, 'field')).said).toEqual([{ do: 'scan', text: 'WB:J:7K3M2Q9XT', from_field: true }])
  })

  test('a person writing a note and pressing Enter is left alone', () => {
    expect(check(keys([...'held', 'Enter'], 120, 'field')).all.every(({ do: what }) => what === 'pass')).toBe(true)
  })

  test('a fast "12" and Enter in a field is a person: too short for a label', () => {
    expect(check(keys(['1', '2', 'Enter'], 20, 'field')).said).toEqual([])
  })

  test('the scan line submits its own text', () => {
    expect(check(keys([...label, 'Enter'], 8, 'scan line')).all.every(({ do: what }) => what === 'pass')).toBe(true)
  })

  test('Tab can be the suffix', () => {
    expect(check(keys([...label, 'Tab'], 8, 'nowhere'), { suffix: 'Tab' }).said).toHaveLength(1)
  })

  test('a scan that follows slow typing in a field begins where the fast keys begin', () => {
    const typed = keys([...'ok '], 200, 'field')
    const scanned = keys([...label, 'Enter'], 8, 'field', 2200)
    expect(check([...typed, ...scanned]).said).toEqual([{ do: 'scan', text: 'WB:J:7K3M2Q9XT', from_field: true }])
  })
})

describe('with a prefix', () => {
  const settings = { prefix: 'F9' }

  test('a scan is certain however slowly it comes, and nothing of it reaches a note', () => {
    const { said, all } = check(keys(['F9', ...label, 'Enter'], 400, 'field'), settings)
    expect(said).toEqual([{ do: 'scan', text: 'WB:J:7K3M2Q9XT', from_field: false }])
    expect(all.slice(0, -1).every(({ do: what }) => what === 'swallow')).toBe(true)
  })

  test('fast keys without it, in a field, are a person', () => {
    expect(check(keys([...label, 'Enter'], 8, 'field'), settings).said).toEqual([])
  })

  test('two labels in one burst are two scans', () => {
    const { said } = check(keys(['F9', ...'ABCD', 'Enter', 'F9', ...'EFGH', 'Enter'], 6, 'nowhere'), settings)
    expect(said.map((answer) => answer.do === 'scan' && answer.text)).toEqual(['ABCD', 'EFGH'])
  })
})

// Codes as named by the W3C "UI Events KeyboardEvent code Values"; the letters of Greek and French layouts from memory.
describe('under another keyboard layout', () => {
  test('a Greek layout is read by position', () => {
    expect(chooseReading('ΣΒ:Ξ:7Κ', 'WB:J:7K')).toBe('WB:J:7K')
  })

  test('a layout that is still plain letters is read by position when that gives our own label', () => {
    expect(chooseReading('ZB:J:èK', 'WB:J:7K')).toBe('WB:J:7K')
    expect(chooseReading('ZBMJM7K', 'WB:J:7K')).toBe('WB:J:7K')
  })

  test('what the keys said stands otherwise', () => {
    expect(chooseReading('1Z999', '1W999')).toBe('1Z999')
  })

  test('a dead key is read by its position', () => {
    const burst = keys([...'AB', 'Dead', ...'CD', 'Enter'], 8, 'nowhere').map((key) => (key.key === 'Dead' ? { ...key, code: 'Quote' } : key))
    expect(check(burst).said).toEqual([{ do: 'scan', text: "AB'CD", from_field: false }])
  })

  test.each([['KeyA', false, 'a'], ['KeyA', true, 'A'], ['Digit2', false, '2'], ['Digit2', true, '@'], ['Numpad7', false, '7'], ['Semicolon', true, ':'], ['F1', false, undefined]])(
    '%s with shift %s is %s', (code, shift, expected) => expect(characterByCode(code, shift)).toBe(expected))

  // GS1 General Specifications: element strings of variable length end with <GS>, ASCII 29; wedges send it as Ctrl+].
  test('the GS1 separator is kept', () => {
    const burst = keys([...'0112', ']', ...'10A', 'Enter'], 8, 'nowhere').map((key) => (key.key === ']' ? { ...key, code: 'BracketRight', ctrl: true } : key))
    expect(check(burst).said).toEqual([{ do: 'scan', text: '0112\u001d10A', from_field: false }])
  })
})

describe('the queue', () => {
  test('drops the same label within 300 ms and takes it again after', async () => {
    const taken: string[] = []
    const queue = new ScanQueue(async (text) => void taken.push(text), 300)
    expect([queue.push('A', 0), queue.push('A', 250), queue.push('B', 260), queue.push('B', 600)]).toEqual([true, false, true, true])
    await Promise.resolve().then(() => Promise.resolve())
    await new Promise((done) => setTimeout(done))
    expect(taken).toEqual(['A', 'B', 'B'])
  })

  test('waits for one answer before it asks for the next, and a failure holds nothing up', async () => {
    const log: string[] = []
    const queue = new ScanQueue(async (text) => {
      log.push(`ask ${text}`)
      await new Promise((done) => setTimeout(done, 5))
      log.push(`answered ${text}`)
      if (text === 'A') throw new Error('no')
    }, 300)
    queue.push('A', 0)
    queue.push('B', 10)
    await new Promise((done) => setTimeout(done, 40))
    expect(log).toEqual(['ask A', 'answered A', 'ask B', 'answered B'])
  })
})
