import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { BackendError } from '../backend'
import { DraftForm, Drafts } from './drafts.svelte'
import { languageTag } from './lab.svelte'
import { Live } from './live.svelte'
import { linkTo, parseRoute } from './router.svelte'

describe('a route', () => {
  test.each([
    ['', { place: 'dock', rest: [], query: {} }],
    ['#/bench/7K3M/before?test=charging', { place: 'bench', rest: ['7K3M', 'before'], query: { test: 'charging' } }],
    ['#/shops/a%2Fb', { place: 'shops', rest: ['a/b'], query: {} }],
    ['#/shops/%E0%A4%A', { place: 'shops', rest: ['%E0%A4%A'], query: {} }],
  ])('is read from %j', (hash, expected) => expect(parseRoute(hash)).toEqual(expected))

  test('survives being written and read', () => expect(parseRoute(linkTo('shops', 'a/b', 'ü')).rest).toEqual(['a/b', 'ü']))
})

test.each([
  ['de-AT', 'de-AT'],
  ['en', 'en'],
  ['C', 'en'],
  ['en_US.UTF-8', 'en'],
  ['', 'en'],
  [undefined, 'en'],
])('a system of language %j is written to in %j', (given, expected) => expect(languageTag(given)).toBe(expected))

describe('a draft', () => {
  const disk = new Map<string, string>()
  const backend = new Map<string, string | null>()
  const storage = { getItem: (key: string) => disk.get(key) ?? null, setItem: (key: string, value: string) => void disk.set(key, value), removeItem: (key: string) => void disk.delete(key) }
  let now = 0
  let down = false
  const call = vi.fn(async (name: string, request: unknown) => {
    if (down) throw new BackendError({ code: 'no_answer', message: 'no' })
    const { key, text } = request as { key: string; text?: string }
    if (name === 'save_draft') backend.set(key, text ?? null)
    if (name === 'forget_draft') backend.delete(key)
    return { text: backend.get(key) ?? null } as never
  })
  const open = () => new Drafts({ call, storage, now_ms: () => ++now, pause_ms: 400 })

  beforeEach(() => {
    vi.useFakeTimers()
    disk.clear()
    backend.clear()
    call.mockClear()
    down = false
  })
  afterEach(() => vi.useRealTimers())

  test('of many key presses is told to the backend once, after a pause', async () => {
    const drafts = open()
    for (const text of ['a', 'ab', 'abc']) drafts.keep('note', { text })
    expect(call).not.toHaveBeenCalled()
    await vi.advanceTimersByTimeAsync(450)
    expect(call).toHaveBeenCalledOnce()
    expect(await open().load('note')).toEqual({ text: 'abc' })
  })

  test('survives a crash before the pause is over', async () => {
    open().keep('note', { text: 'almost lost' })
    expect(await open().load('note')).toEqual({ text: 'almost lost' })
  })

  test('survives a backend that does not answer', async () => {
    down = true
    open().keep('note', { text: 'kept here' })
    await vi.advanceTimersByTimeAsync(450)
    expect(await open().load('note')).toEqual({ text: 'kept here' })
  })

  test('is the newer of the two copies', async () => {
    open().keep('note', { text: 'older' })
    backend.set('note', JSON.stringify({ saved_ms: 1e9, value: { text: 'newer' } }))
    expect(await open().load('note')).toEqual({ text: 'newer' })
  })

  test('that was recorded does not come back, not even from a waiting save', async () => {
    const drafts = open()
    drafts.keep('note', { text: 'x' })
    await drafts.clear('note')
    await vi.advanceTimersByTimeAsync(1000)
    expect(await open().load('note')).toBeUndefined()
  })

  test('that is damaged counts as none', async () => {
    disk.set('draft:note', '{"saved_ms":')
    expect(await open().load('note')).toBeUndefined()
  })

  test('fills a form, and a field that a newer program added is empty', async () => {
    open().keep('form', { volts: '3,8' })
    const form = new DraftForm('form', () => ({ volts: '', note: '' }), open())
    await form.load()
    expect({ ...form.value }).toEqual({ volts: '3,8', note: '' })
  })

  test('that is emptied by hand does not come back', async () => {
    const form = new DraftForm('form', () => ({ note: '' }), open())
    await form.load()
    form.value.note = 'a slip'
    form.follow()
    form.value.note = ''
    form.follow()
    await vi.advanceTimersByTimeAsync(1000)
    expect(await open().load('form')).toBeUndefined()
  })

  test('never overwrites what was typed while it was loading', async () => {
    open().keep('form', { volts: 'old' })
    const form = new DraftForm('form', () => ({ volts: '' }), open())
    const loading = form.load()
    form.value.volts = 'new'
    await loading
    expect(form.value.volts).toBe('new')
  })
})

describe('a live answer', () => {
  test('is never replaced by a slower, older one', async () => {
    const answers: ((value: string) => void)[] = []
    const live = new Live<string>('rack', null, (() => new Promise((done) => answers.push(done as never))) as never)
    const first = live.refresh()
    const second = live.refresh()
    answers[1]?.('new')
    answers[0]?.('old')
    await Promise.all([first, second])
    expect(live.value).toBe('new')
    expect(live.asking).toBe(false)
  })

  test('stays on screen when the next question fails, with the reason beside it', async () => {
    let fail = false
    const live = new Live<string>('rack', null, (async () => {
      if (fail) throw new BackendError({ code: 'disk_full', message: 'The disk is full.' })
      return 'rack'
    }) as never)
    await live.refresh()
    fail = true
    await live.refresh()
    expect([live.value, live.error?.message]).toEqual(['rack', 'The disk is full.'])
  })
})
