import { expect, test } from 'vitest'
import { StopwatchState, stopwatchWords } from './stopwatch.svelte'

test('a stopwatch adds up its runs and stands still between them', () => {
  let now = 100
  const watch = new StopwatchState(() => now)
  watch.toggle()
  now += 4200
  watch.toggle()
  now += 9000
  watch.tick()
  expect(watch.elapsed_ms).toBe(4200)
  watch.toggle()
  now += 800
  watch.tick()
  expect(watch.elapsed_ms).toBe(5000)
  watch.clear()
  expect(watch.elapsed_ms).toBe(0)
})

test.each([[0, '0.0 s'], [4_250, '4.2 s'], [59_990, '59.9 s'], [64_200, '1 min 04.2 s']])('%d ms is %s', (ms, words) => expect(stopwatchWords(ms)).toBe(words))
