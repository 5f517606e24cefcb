/** What the parts show. Screens turn the backend's answers into these; nothing here is computed from anything else. */

export type Verdict = 'fixed' | 'still failing' | 'worse' | 'steady' | 'newly testable' | 'not proved' | 'not comparable' | 'not applicable'

export type Level = 'clear' | 'watch' | 'isolate' | 'emergency'

export type StationState = 'done' | 'next' | 'blocked' | 'later' | 'skipped'

export interface Station {
  id: string
  name: string
  state: StationState
  /** When it was done. */
  done_ms?: number | null
  /** What must be there before it can be passed: short phrases, shown on the strip. */
  missing?: string[]
  href: string
}

/** One side of one test. */
export interface TestSide {
  /** "pass", "fail", "not tested", "has none", or nothing yet. */
  result: 'pass' | 'fail' | 'not tested' | 'has none' | null
  /** With its unit: "0.02 A". */
  reading?: string | null
  /** The reading is an answer in words, set as text. */
  in_words?: boolean
  /** "limit 0.8 to 1.1 A", or why it could not be tested. */
  note?: string | null
  at_ms?: number | null
  who?: string | null
}

export interface Compared {
  id: string
  name: string
  before: TestSide
  after: TestSide
  /** Nothing until both sides are known, or could not be. */
  verdict: Verdict | null
}

export type DeviceKind = 'phone' | 'tablet' | 'laptop' | 'handheld'
export type OutlineView = 'front' | 'back' | 'edges'

export interface OutlineMark {
  id: string
  view: OutlineView
  /** Thousandths of the width and height of the view, from its upper left corner. */
  x: number
  y: number
  /** What was seen there: "deep scratch". */
  words: string
}

export interface Picture {
  src: string
  /** What it shows, in words. */
  alt: string
  at_ms?: number | null
}

/** One thing before and after the work. */
export interface PicturePair {
  id: string
  title: string
  before: Picture | null
  after: Picture | null
}

export interface Option {
  value: string
  words: string
  /** A quieter explanation. */
  note?: string
}
