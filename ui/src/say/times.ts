/**
 * Times as a person says them. All instants are milliseconds since 1970, UTC; they are shown in the lab's zone.
 * Only wording: what is due, late or overdue is decided by the domain.
 */

/** The lab's way of writing numbers and dates, and its clock. */
export interface Locale {
  /** BCP 47 tag, such as `en-IE`. */
  tag: string
  /** IANA zone, such as `Europe/Dublin`. */
  zone: string
}

const formats = new Map<string, Intl.DateTimeFormat>()

function format({ tag, zone }: Locale, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${tag} ${zone} ${JSON.stringify(options)}`
  let found = formats.get(key)
  if (!found) {
    found = new Intl.DateTimeFormat(tag, { ...options, timeZone: zone })
    formats.set(key, found)
  }
  return found
}

/** The calendar day in the lab's zone, as dates are written: `2026-11-30`. Put together from its parts: no locale writes it so in every webview. */
export function calendarDay(at_ms: number, { zone }: Locale): string {
  const parts = format({ tag: 'en-CA', zone }, { year: 'numeric', month: '2-digit', day: '2-digit' }).formatToParts(at_ms)
  const part = (type: string) => parts.find((candidate) => candidate.type === type)?.value ?? ''
  return `${part('year')}-${part('month')}-${part('day')}`
}

/** The number of the calendar day in the lab's zone, for "today" and "tomorrow". */
function dayNumber(at_ms: number, locale: Locale): number {
  return Math.round(Date.parse(`${calendarDay(at_ms, locale)}T00:00:00Z`) / 86_400_000)
}

/** The clock: `15:00`. */
export function clock(at_ms: number, locale: Locale): string {
  return format(locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(at_ms)
}

/** The day: "today", "tomorrow", "Friday", "3 Dec", "3 Dec 2025". */
export function day(at_ms: number, now_ms: number, locale: Locale): string {
  const apart = dayNumber(at_ms, locale) - dayNumber(now_ms, locale)
  if (apart === 0) return 'today'
  if (apart === 1) return 'tomorrow'
  if (apart === -1) return 'yesterday'
  if (apart > 1 && apart < 7) return format(locale, { weekday: 'long' }).format(at_ms)
  const same_year = format(locale, { year: 'numeric' }).format(at_ms) === format(locale, { year: 'numeric' }).format(now_ms)
  return format(locale, { day: 'numeric', month: 'short', ...(same_year ? {} : { year: 'numeric' }) }).format(at_ms)
}

/** Day and clock: "tomorrow, 15:00". */
export function moment(at_ms: number, now_ms: number, locale: Locale): string {
  return `${day(at_ms, now_ms, locale)}, ${clock(at_ms, locale)}`
}

/** In the margin of a page, as short as it can be: the clock today, else the day and the clock. */
export function stamp(at_ms: number, now_ms: number, locale: Locale): string {
  if (dayNumber(at_ms, locale) === dayNumber(now_ms, locale)) return clock(at_ms, locale)
  return `${format(locale, { day: 'numeric', month: 'short' }).format(at_ms)}, ${clock(at_ms, locale)}`
}

/** Everything, for hover and for papers: "Thursday 26 November 2026 at 15:00:00 GMT". */
export function exact(at_ms: number, locale: Locale): string {
  return format(locale, { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23', timeZoneName: 'short' }).format(at_ms)
}

/** How long, rounded as people round: "40 s", "12 min", "3 h", "5 days". */
export function duration(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1000))
  if (seconds < 90) return `${seconds} s`
  if (seconds < 90 * 60) return `${Math.round(seconds / 60)} min`
  if (seconds < 36 * 3600) return `${Math.round(seconds / 3600)} h`
  return `${Math.round(seconds / 86_400)} days`
}
