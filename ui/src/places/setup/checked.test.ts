import { expect, test } from 'vitest'
import { BackendError, useDoor, type Door } from '../../backend'
import { checked, standingWords } from './checked.svelte'

const row = { job_id: 'job-1', reference: '23CV-8MDB-Y', device: 'Arvo Nine', shop_name: 'Harbour Phones' }

/** A desk that knows one report by its first letter, refuses what begins with an x, and finds nothing in the rest. */
const asked: string[] = []
const door = {
  call: async (name: string) => (name === 'rack' ? { rows: [row] } : {}),
  on: () => () => undefined,
  async checkReport(bytes: Blob) {
    const text = (await bytes.text()).replace('%PDF-', '')
    asked.push(text)
    if (text.startsWith('x')) throw new BackendError({ code: 'refused', message: 'This file is larger than any report.' })
    if (text.startsWith('g')) return { standing: 'genuine', job_reference: row.reference, words: 'This is our report.' }
    return { standing: 'no_report', job_reference: null, words: 'No report is in this file.' }
  },
} as unknown as Door

const file = (text: string) => new File([`%PDF-${text}`], `${text}.pdf`)

test('every file of a drop is checked in turn, also those that come while it works, and each keeps its own answer', async () => {
  useDoor(door)
  const first = checked.check([file('g1'), file('x2')])
  expect(checked.now).toEqual({ file_name: 'g1.pdf', place: 1, total: 2 })
  await checked.check([file('n3')])
  expect(checked.now?.total).toBe(3)
  await first
  expect(asked).toEqual(['g1', 'x2', 'n3'])
  expect(checked.now).toBeUndefined()
  expect(checked.list.map(({ file_name, standing, words, job }) => [file_name, standing, words, job?.device])).toEqual([
    ['n3.pdf', 'no_report', 'No report is in this file.', undefined],
    ['x2.pdf', null, 'This file is larger than any report.', undefined],
    ['g1.pdf', 'genuine', 'This is our report.', 'Arvo Nine'],
  ])
})

test.each([
  ['an empty file', new File([], 'empty.pdf'), /empty/],
  ['a picture with another name', new File(['\u0089PNG'], 'picture.pdf'), /no PDF/],
])('%s is not handed on: its sentence says what it is', async (_, given, words) => {
  asked.length = 0
  await checked.check([given])
  expect(checked.list[0]?.standing).toBe('no_report')
  expect(checked.list[0]?.words).toMatch(words)
  expect(asked).toEqual([])
})

test('the list goes when it is cleared, and a later file has a number of its own', async () => {
  const numbers = checked.list.map(({ number }) => number)
  checked.clear()
  expect(checked.list).toEqual([])
  await checked.check([file('n4')])
  expect(numbers).not.toContain(checked.list[0]?.number)
})

test('no two standings have the same words', () => {
  const words = Object.values(standingWords)
  expect(new Set(words).size).toBe(words.length)
})
