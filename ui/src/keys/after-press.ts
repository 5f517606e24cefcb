/**
 * What a blur brings up may move the page: done while a finger is still down, it takes the button away from under the finger, and the
 * press goes nowhere. So it waits until the press is over.
 */

/** After the finger is up, the click itself follows in the same breath. */
const CLICK_MS = 20

let down = false
const waiting: (() => void)[] = []

/** Follows presses until the returned function is called. */
export function followPresses(page: EventTarget = window): () => void {
  const press = () => (down = true)
  const release = () => {
    down = false
    const due = waiting.splice(0)
    if (due.length > 0) setTimeout(() => due.forEach((run) => run()), CLICK_MS)
  }
  page.addEventListener('pointerdown', press, true)
  page.addEventListener('pointerup', release, true)
  page.addEventListener('pointercancel', release, true)
  return () => {
    page.removeEventListener('pointerdown', press, true)
    page.removeEventListener('pointerup', release, true)
    page.removeEventListener('pointercancel', release, true)
    release()
  }
}

/** Runs it now, or when the finger that is down is up again. */
export function afterPress(run: () => void): void {
  if (down) waiting.push(run)
  else run()
}
