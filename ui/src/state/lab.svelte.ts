/** What every screen needs to know about the lab it stands in: its name, its way of writing, who is at the desk, what time it is. */
import type { Locale } from '../say/times'

/** The language that numbers and times are written in. A system without one (POSIX's "C") names none that `Intl` knows. */
export function languageTag(given: string | undefined): string {
  try {
    return Intl.getCanonicalLocales(given || 'en')[0] ?? 'en'
  } catch {
    return 'en'
  }
}

export class LabState {
  name = $state('')
  locale = $state.raw<Locale>({ tag: languageTag(navigator.language), zone: Intl.DateTimeFormat().resolvedOptions().timeZone })
  currency = $state('EUR')
  /** The person at this desk; nothing until someone says who they are. */
  person = $state.raw<{ id: string; name: string } | undefined>(undefined)
  /** Moves every half minute, so that "today" and "3 h on the bench" stay true on a screen that is left open. */
  now_ms = $state(Date.now())

  /** Starts the clock; returns a function that stops it. */
  start(): () => void {
    const timer = setInterval(() => {
      this.now_ms = Date.now()
    }, 30_000)
    return () => clearInterval(timer)
  }
}

export const lab = new LabState()
