import { describe, expect, test, vi } from 'vitest'
import { asBackendError, BackendError } from './error'
import { loopbackDoor, readAddress } from './loopback'
import { headerJson } from './tauri'

const address = { base: 'http://127.0.0.1:4000', token: 'a b' }
const answering = (status: number, body: string) => vi.fn(async () => new Response(body, { status }))

describe('the loopback address', () => {
  test.each([
    ['http://127.0.0.1:4000/?token=abc', { base: 'http://127.0.0.1:4000', token: 'abc' }],
    ['http://localhost:5173/#token=abc&desk=http://127.0.0.1:4000', { base: 'http://127.0.0.1:4000', token: 'abc' }],
    ['http://127.0.0.1:4000/#/bench/7K3M', { base: 'http://127.0.0.1:4000', token: '' }],
  ])('is read from %s', (href, expected) => {
    expect(readAddress(href)).toEqual(expected)
  })

  test('of another machine is refused', () => {
    expect(() => readAddress('http://localhost:5173/?desk=http://198.51.100.7:4000')).toThrow(/not on this machine/)
  })
})

describe('the loopback door', () => {
  test('posts the request with the token and gives the answer', async () => {
    const fetcher = answering(200, '{"found":1}')
    expect(await loopbackDoor(address, fetcher as typeof fetch).call('scan', { text: 'x' })).toEqual({ found: 1 })
    expect(fetcher).toHaveBeenCalledWith('http://127.0.0.1:4000/call/scan', expect.objectContaining({
      method: 'POST',
      body: '{"text":"x"}',
      headers: expect.objectContaining({ 'x-waybench-token': 'a b' }),
    }))
  })

  test('gives the error of the command as it was said', async () => {
    const fetcher = answering(409, '{"code":"field","message":"Write the voltage in volts.","field":"volts","missing":[]}')
    const failure = await loopbackDoor(address, fetcher as typeof fetch).call('scan', {}).catch((cause: unknown) => cause)
    expect(failure).toBeInstanceOf(BackendError)
    expect(failure).toMatchObject({ code: 'field', message: 'Write the voltage in volts.', field: 'volts', missing: [], detail: null })
  })

  test.each([[500, '<html>'], [502, '']])('says in words that %s %j is no answer', async (status, body) => {
    const failure = await loopbackDoor(address, answering(status, body) as typeof fetch).call('scan', {}).catch((cause: unknown) => cause)
    expect(failure).toMatchObject({ name: 'BackendError', code: 'no_answer' })
  })

  test('puts the token in the address of a picture, which can send no header', () => {
    expect(loopbackDoor(address).photoUrl('ff00', 'thumb')).toBe('http://127.0.0.1:4000/photo/ff00?thumb=1&token=a%20b')
    expect(loopbackDoor(address).photoUrl('ff00')).toBe('http://127.0.0.1:4000/photo/ff00?token=a%20b')
  })

  test('sends a picture as it is, with its place in the address', async () => {
    const fetcher = answering(200, '{"hash":"ff00"}')
    const bytes = new Blob(['jpeg'], { type: 'image/jpeg' })
    expect(await loopbackDoor(address, fetcher as typeof fetch).putPhoto(bytes, { place: 'case' })).toEqual({ hash: 'ff00' })
    expect(fetcher).toHaveBeenCalledWith('http://127.0.0.1:4000/photo?target=%7B%22place%22%3A%22case%22%7D', expect.objectContaining({ method: 'POST', body: bytes }))
  })

  test('shows a paper at its own address', async () => {
    const show = vi.fn()
    await loopbackDoor(address, fetch, undefined, show).openPaper('report-1.pdf')
    expect(show).toHaveBeenCalledWith('http://127.0.0.1:4000/paper/report-1.pdf?token=a%20b')
  })

  test('opens one stream of events and stops hearing when asked', () => {
    const stream = new EventTarget() as EventSource
    const open = vi.fn(() => stream)
    const door = loopbackDoor(address, fetch, open)
    const heard: unknown[] = []
    const stop = door.on('changed', (payload) => heard.push(payload))
    door.on('progress', () => {})
    stream.dispatchEvent(new MessageEvent('changed', { data: '{"jobs":["a"]}' }))
    stop()
    stream.dispatchEvent(new MessageEvent('changed', { data: '{"jobs":["b"]}' }))
    expect(heard).toEqual([{ jobs: ['a'] }])
    expect(open).toHaveBeenCalledOnce()
    expect(open).toHaveBeenCalledWith('http://127.0.0.1:4000/events?token=a%20b')
  })
})

test('an unknown failure keeps its text as detail', () => {
  expect(asBackendError(new Error('socket closed')).detail).toBe('socket closed')
  expect(asBackendError('socket closed').detail).toBe('socket closed')
})

test.each(['plain', 'Déjà vu', '雨 \u007f', '🛠'])('JSON of %j fits into a header and means the same', (caption) => {
  const json = headerJson({ caption })
  expect(json).toMatch(/^[ -~]*$/)
  expect(JSON.parse(json)).toEqual({ caption })
})
