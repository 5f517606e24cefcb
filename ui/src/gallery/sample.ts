/** Invented data for the gallery of parts. No maker, model, shop or person here exists. */
import type { DeskState } from '../backend/generated'
import type { Compared, OutlineMark, Picture, Station } from '../parts/types'

export const now_ms = Date.UTC(2026, 10, 25, 10, 12)
const at = (day: number, hour: number, minute: number) => Date.UTC(2026, 10, day, hour, minute)

export const route: Station[] = [
  { id: 'advice', name: 'Advice', state: 'done', done_ms: at(19, 16, 40), href: '#spread' },
  { id: 'dock', name: 'Dock', state: 'done', done_ms: at(23, 9, 5), href: '#spread' },
  { id: 'cell', name: 'Cell check', state: 'done', done_ms: at(23, 9, 20), href: '#spread' },
  { id: 'look', name: 'Look-over', state: 'done', done_ms: at(23, 9, 41), href: '#spread' },
  { id: 'before', name: 'Before', state: 'done', done_ms: at(23, 10, 30), href: '#spread' },
  { id: 'quote', name: 'Quote', state: 'done', done_ms: at(24, 11, 2), href: '#spread' },
  { id: 'work', name: 'Work', state: 'done', done_ms: at(25, 9, 14), href: '#spread' },
  { id: 'after', name: 'After', state: 'next', href: '#spread' },
  { id: 'report', name: 'Report', state: 'later', href: '#spread' },
  { id: 'outbound', name: 'Outbound', state: 'later', href: '#spread' },
]

export const blockedRoute: Station[] = route.map((station, index) => ({
  ...station,
  ...(index > 4 ? { state: 'later' as const, done_ms: null } : {}),
  ...(index === 5 ? { state: 'blocked' as const, missing: ["the shop's answer to the quote, asked yesterday, 11:02", 'a second reading of the cell voltage'] } : {}),
}))

export const tests: Compared[] = [
  { id: 'charge', name: 'Charging current', before: { result: 'fail', reading: '0.02 A', note: 'limit 0.80 to 1.10 A', at_ms: at(23, 10, 4), who: 'Ines K.' }, after: { result: 'pass', reading: '0.94 A', note: '± 0.02 A, guard band kept', at_ms: at(25, 9, 52), who: 'Ines K.' }, verdict: 'fixed' },
  { id: 'charger', name: 'What it does on a charger', before: { result: 'fail', reading: 'says it charges, but the level stands', in_words: true, at_ms: at(23, 10, 6), who: 'Ines K.' }, after: { result: 'pass', reading: 'charges fast, as its maker says', in_words: true, at_ms: at(25, 9, 53), who: 'Ines K.' }, verdict: 'fixed' },
  { id: 'boot', name: 'Start-up time', before: { result: 'not tested', note: 'no charge in the cell', at_ms: at(23, 10, 9), who: 'Ines K.' }, after: { result: 'pass', reading: '21.4 s', at_ms: at(25, 9, 55), who: 'Ines K.' }, verdict: 'newly testable' },
  { id: 'display', name: 'Display', before: { result: 'pass', at_ms: at(23, 10, 12), who: 'Ines K.' }, after: { result: 'pass', at_ms: at(25, 9, 58), who: 'Ines K.' }, verdict: 'steady' },
  { id: 'speaker', name: 'Loudspeaker', before: { result: 'fail', note: 'crackles above half volume', at_ms: at(23, 10, 15), who: 'Ines K.' }, after: { result: 'fail', note: 'as before; not part of the order', at_ms: at(25, 10, 1), who: 'Ines K.' }, verdict: 'still failing' },
  { id: 'wifi', name: 'Radio, 5 GHz', before: { result: 'pass', reading: '−51 dBm', at_ms: at(23, 10, 20), who: 'Ines K.' }, after: { result: 'fail', reading: '−78 dBm', note: 'limit −65 dBm', at_ms: at(25, 10, 6), who: 'Ines K.' }, verdict: 'worse' },
  { id: 'baro', name: 'Pressure sensor', before: { result: 'pass', reading: '1 013 hPa', at_ms: at(23, 10, 26), who: 'Ines K.' }, after: { result: 'not tested', note: 'reference instrument is out for calibration', at_ms: at(25, 10, 8), who: 'Ines K.' }, verdict: 'not proved' },
  { id: 'camera', name: 'Camera, back', before: { result: 'pass', at_ms: at(23, 10, 28), who: 'Ines K.' }, after: { result: null }, verdict: null },
]

export const marks: OutlineMark[] = [
  { id: 'm1', view: 'front', x: 180, y: 130, words: 'crack from the corner, 34 mm' },
  { id: 'm2', view: 'back', x: 620, y: 700, words: 'deep scratches' },
  { id: 'm3', view: 'edges', x: 300, y: 630, words: 'charging port bent, residue' },
]

/** What the backend would say about the whole desktop. */
export const around: DeskState = {
  lab: null, person: null, people: [], parcels_to_count: 2, jobs_in_house: 31, jobs_to_pack: 5, cells_in_isolation: 2, cells_in_emergency: 0, readings_overdue: 1, next_reading_due_ms: null, disagreements: 2, clock_warning: '', unknown_entries: 0,
  desktop_name: 'bench 1', folder: '/var/lib/lab', version: '0.1.0',
  sync: {
    words: '12 waiting, no connection since 09:40', entries_waiting: 12, files_waiting: 0, file_bytes_waiting: 0, file_bytes_per_second: null, entries_fetched: null, entries_to_fetch: null,
    in_step_at_ms: null, connected: false, joined: true, trouble: '', needs_person: false, clock_ahead_ms: null,
  },
}

/** A drawn stand-in for a photograph of a board. */
export function picture(words: string, burnt: boolean): Picture {
  const body = `<svg xmlns='http://www.w3.org/2000/svg' width='640' height='480'><rect width='640' height='480' fill='teal'/><g fill='black'><rect x='90' y='110' width='190' height='150'/><rect x='340' y='90' width='120' height='90'/><rect x='360' y='250' width='170' height='130'/></g><g fill='silver'>${Array.from({ length: 22 }, (_, index) => `<rect x='${60 + index * 24}' y='420' width='12' height='26'/>`).join('')}</g>${burnt ? "<circle cx='300' cy='300' r='54' fill='maroon'/><circle cx='306' cy='296' r='24' fill='black'/>" : "<rect x='282' y='284' width='40' height='26' fill='tan'/>"}</svg>`
  return { src: `data:image/svg+xml,${encodeURIComponent(body)}`, alt: words, at_ms: burnt ? at(23, 10, 31) : at(25, 9, 10) }
}
