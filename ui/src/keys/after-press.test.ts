import { afterEach, expect, test, vi } from 'vitest'
import { afterPress, followPresses } from './after-press'

const page = new EventTarget()
const event = (kind: string) => page.dispatchEvent(new Event(kind))
let stop = () => {}

afterEach(() => {
  stop()
  vi.useRealTimers()
})

test('with no finger down, it is done at once', () => {
  stop = followPresses(page)
  const run = vi.fn()
  afterPress(run)
  expect(run).toHaveBeenCalledOnce()
})

test.each(['pointerup', 'pointercancel'])('while a finger is down, it waits for %s and for the click that follows', (end) => {
  vi.useFakeTimers()
  stop = followPresses(page)
  const run = vi.fn()
  event('pointerdown')
  afterPress(run)
  vi.advanceTimersByTime(3_000)
  expect(run).not.toHaveBeenCalled()
  event(end)
  expect(run).not.toHaveBeenCalled()
  vi.runAllTimers()
  expect(run).toHaveBeenCalledOnce()
})
