/** A promised day, said as a person at the bench says it. Days are the lab's calendar days, as the backend gives them. */

const day_ms = 86_400_000
const instant = (date: string) => Date.parse(`${date}T00:00:00Z`)

/** "due today", "due tomorrow", "2 days late", "due Friday", "due 9 Dec"; empty without a promise. */
export function dueWords(promised: string, today: string, tag: string): string {
  if (promised === '') return ''
  const apart = Math.round((instant(promised) - instant(today)) / day_ms)
  if (Number.isNaN(apart)) return promised
  if (apart < 0) return apart === -1 ? '1 day late' : `${-apart} days late`
  if (apart === 0) return 'due today'
  if (apart === 1) return 'due tomorrow'
  if (apart < 7) return `due ${new Intl.DateTimeFormat(tag, { weekday: 'long', timeZone: 'UTC' }).format(instant(promised))}`
  return `due ${shortDate(promised, today, tag)}`
}

/** A calendar day in a list: "9 Dec", "9 Jan 2027". */
export function shortDate(date: string, today: string, tag: string): string {
  if (date === '' || Number.isNaN(instant(date))) return date
  return new Intl.DateTimeFormat(tag, { day: 'numeric', month: 'short', ...(date.slice(0, 4) === today.slice(0, 4) ? {} : { year: 'numeric' }), timeZone: 'UTC' }).format(instant(date))
}

/** Whether the promised day has passed. */
export function isLate(promised: string, today: string): boolean {
  return promised !== '' && promised < today
}

/** A calendar day in full: "26 November 2026"; for hover. */
export function dateWords(date: string, tag: string): string {
  if (date === '' || Number.isNaN(instant(date))) return date
  return new Intl.DateTimeFormat(tag, { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' }).format(instant(date))
}
