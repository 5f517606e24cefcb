/** A key with its modifiers, written as people read it: `Alt+1`, `Mod+Enter`, `/`, `?`, `Escape`. `Mod` is Command on a Mac, Ctrl elsewhere. */
export interface Chord {
  key: string
  alt: boolean
  mod: boolean
  shift: boolean
}

/**
 * Parses a chord. A bare letter or digit is refused: labels begin with one, so a scan would fire it.
 */
export function parseChord(text: string): Chord {
  const parts = text === '+' ? ['+'] : text.split('+')
  const key = parts.at(-1) as string
  const modifiers = parts.slice(0, -1)
  const unknown = modifiers.find((name) => !['Alt', 'Mod', 'Shift'].includes(name))
  if (unknown !== undefined || key === '') throw new Error(`${text} is not a key; write Alt, Mod or Shift, then +, then the key`)
  if (modifiers.length === 0 && /^[\p{L}\p{N}]$/u.test(key)) throw new Error(`${text} alone can't be a shortcut: a scanned label may begin with it`)
  return { key, alt: modifiers.includes('Alt'), mod: modifiers.includes('Mod'), shift: modifiers.includes('Shift') }
}

type Pressed = Pick<KeyboardEvent, 'key' | 'code' | 'altKey' | 'ctrlKey' | 'metaKey' | 'shiftKey'>

const isApple = () => typeof navigator !== 'undefined' && /Mac|iPad|iPhone/.test(navigator.userAgent)

/** Whether this key press is that chord. */
export function matches(chord: Chord, event: Pressed, apple = isApple()): boolean {
  const mod = apple ? event.metaKey : event.ctrlKey
  const other = apple ? event.ctrlKey : event.metaKey
  if (chord.mod !== mod || chord.alt !== event.altKey || other) return false
  // Shift is part of typing `?` on most layouts and of `/` on some, so it counts only where it is asked for or the key has a name.
  const isSign = chord.key.length === 1 && !/[\p{L}\p{N}]/u.test(chord.key)
  if (!isSign && chord.shift !== event.shiftKey) return false
  if (event.key.toLowerCase() === chord.key.toLowerCase()) return true
  // Alt and Shift change what a position types; the position itself stays.
  return (chord.alt || chord.mod) && (event.code === `Digit${chord.key}` || event.code === `Key${chord.key.toUpperCase()}`)
}

/** How the chord is printed on the sheet: one word per key. */
export function printed(chord: Chord, apple = isApple()): string[] {
  const words: string[] = []
  if (chord.mod) words.push(apple ? 'Command' : 'Ctrl')
  if (chord.alt) words.push(apple ? 'Option' : 'Alt')
  if (chord.shift) words.push('Shift')
  const names: Record<string, string> = { ArrowUp: 'Up', ArrowDown: 'Down', ArrowLeft: 'Left', ArrowRight: 'Right', Escape: 'Esc', ' ': 'Space' }
  return [...words, names[chord.key] ?? (chord.key.length === 1 ? chord.key.toUpperCase() : chord.key)]
}
