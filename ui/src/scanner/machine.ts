/**
 * Tells a scanner from a person, as a pure state machine: idle -> burst -> complete (and idle again).
 * It sees keys with their times and answers what to do with each. It never touches the page: `listener.ts` does.
 *
 * A prefix or suffix that is set in the scanner decides; time between keys is only a hint, because a busy
 * computer delivers a scan slowly and a quick typist types "12" fast.
 */
import { characterByCode, chooseReading } from './layout'

/** How the scanners of this desktop are set. */
export interface ScannerSettings {
  /** Key that every scan begins with, by `KeyboardEvent.key` (for example `F9` or `~`); nothing if none is set. */
  prefix: string | null
  /** Key that every scan ends with: `Enter` or `Tab`, or one character. */
  suffix: string
  /** Keys closer than this look like a scanner. */
  gap_ms_max: number
  /** Fewer characters than this are never taken for a scan unless a prefix opened them. */
  characters_min: number
  /** The same text again within this time is the trigger bouncing, not a second label. */
  double_ms_max: number
}

export const usualSettings: ScannerSettings = { prefix: null, suffix: 'Enter', gap_ms_max: 50, characters_min: 4, double_ms_max: 300 }

/** Where the key would go if nobody caught it. */
export type Target = 'nowhere' | 'scan line' | 'field'

export interface Key {
  key: string
  code: string
  shift: boolean
  ctrl: boolean
  at_ms: number
  target: Target
}

interface Burst {
  name: 'burst'
  byKey: string
  byCode: string
  opened_by_prefix: boolean
  /** True while every key so far came as fast as a scanner's. */
  fast: boolean
  started_in: Target
  last_ms: number
}

export type State = { name: 'idle' } | Burst

export type Answer =
  /** The key is none of our business. */
  | { do: 'pass' }
  /** The key is part of a scan: keep it from the page. */
  | { do: 'swallow' }
  /** The first key outside any field: it may be a scan or a person; keep it, and show it in the scan line if it was a person. */
  | { do: 'hold' }
  /** A person is typing with no field in focus: what was held belongs in the scan line. */
  | { do: 'type'; text: string }
  /** A whole scan. `from_field` says that its characters had already run into a focused field, which must be put right. */
  | { do: 'scan'; text: string; from_field: boolean }

export const idle: State = { name: 'idle' }

function characterOf(key: Key): { byKey: string; byCode: string } | undefined {
  // GS1 labels carry the separator GS, which wedges type as Ctrl+].
  if (key.ctrl) return key.code === 'BracketRight' || key.key === ']' || key.key === '\u001d' ? { byKey: '\u001d', byCode: '\u001d' } : undefined
  const byCode = characterByCode(key.code, key.shift) ?? ''
  if ([...key.key].length === 1) return { byKey: key.key, byCode: byCode || key.key }
  // "Dead", "Process", "Unidentified": the layout swallowed the character, but the position is known.
  return byCode === '' ? undefined : { byKey: '\ufffd', byCode }
}

function extended(burst: Burst, key: Key, character: { byKey: string; byCode: string }, fast: boolean): Burst {
  return { ...burst, byKey: burst.byKey + character.byKey, byCode: burst.byCode + character.byCode, fast: burst.fast && fast, last_ms: key.at_ms }
}

/** Takes one key in one state; gives the next state and what to do with the key. */
export function step(state: State, key: Key, settings: ScannerSettings): [State, Answer] {
  if (settings.prefix !== null && key.key === settings.prefix && !key.ctrl) {
    return [{ name: 'burst', byKey: '', byCode: '', opened_by_prefix: true, fast: true, started_in: key.target, last_ms: key.at_ms }, { do: 'swallow' }]
  }
  if (state.name === 'burst' && key.key === settings.suffix) return completed(state, key, settings)
  const character = characterOf(key)
  if (!character) return [['Shift', 'Control', 'Alt', 'AltGraph', 'CapsLock'].includes(key.key) ? state : idle, { do: 'pass' }]
  if (state.name === 'idle') return begun(key, character, settings)

  const fast = key.at_ms - state.last_ms <= settings.gap_ms_max
  if (state.opened_by_prefix) return [extended(state, key, character, fast), { do: 'swallow' }]
  if (!fast || key.target !== state.started_in) return begunAnew(state, key, character, settings)
  return [extended(state, key, character, true), key.target === 'nowhere' ? { do: 'hold' } : { do: 'pass' }]
}

function begun(key: Key, character: { byKey: string; byCode: string }, settings: ScannerSettings): [State, Answer] {
  // Where scanners open with a prefix, keys without it are a person's.
  if (settings.prefix !== null && key.target !== 'nowhere') return [idle, { do: 'pass' }]
  if (key.ctrl) return [idle, { do: 'pass' }]
  const burst: Burst = { name: 'burst', ...character, opened_by_prefix: false, fast: true, started_in: key.target, last_ms: key.at_ms }
  return [burst, key.target === 'nowhere' ? { do: 'hold' } : { do: 'pass' }]
}

/** A slow key: what came before was a person's (or a scan that lost its suffix), and this may open a scan. */
function begunAnew(state: Burst, key: Key, character: { byKey: string; byCode: string }, settings: ScannerSettings): [State, Answer] {
  if (key.target !== 'nowhere' || state.started_in !== 'nowhere') return begun(key, character, settings)
  return [idle, { do: 'type', text: chooseReading(state.byKey + character.byKey, state.byCode + character.byCode) }]
}

function completed(state: Burst, key: Key, settings: ScannerSettings): [State, Answer] {
  const text = chooseReading(state.byKey, state.byCode)
  const long = [...text].length >= settings.characters_min
  const in_time = key.at_ms - state.last_ms <= settings.gap_ms_max
  if (state.opened_by_prefix) return [idle, text === '' ? { do: 'swallow' } : { do: 'scan', text, from_field: false }]
  // In the scan line, Enter is Enter: the line submits its own text, whoever typed it.
  if (key.target === 'scan line') return [idle, { do: 'pass' }]
  if (state.fast && long && in_time) return [idle, { do: 'scan', text, from_field: key.target === 'field' }]
  return key.target === 'nowhere' ? [idle, { do: 'type', text }] : [idle, { do: 'pass' }]
}

/** The time passed without another key: what was held belongs to a person. */
export function settle(state: State, now_ms: number, settings: ScannerSettings): [State, Answer] {
  if (state.name === 'idle' || now_ms - state.last_ms <= settings.gap_ms_max * 3) return [state, { do: 'pass' }]
  if (state.opened_by_prefix || state.started_in !== 'nowhere') return now_ms - state.last_ms > 2000 ? [idle, { do: 'pass' }] : [state, { do: 'pass' }]
  return [idle, { do: 'type', text: chooseReading(state.byKey, state.byCode) }]
}
