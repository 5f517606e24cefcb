/** From the view of a job to what its spread shows. Nothing is judged here: verdicts, joints and what is missing come from the backend. */
import { photoUrl } from '../../backend'
import type { Comparison, JobView, Marked, MarkedResult, PersonBrief, PhotoAdded, Stop } from '../../backend/generated'
import type { Compared, Picture, PicturePair, Station as StripStation, StationState, TestSide, Verdict } from '../../parts/types'
import { nameOf } from '../../say/people'
import { limitsWords, outcomeReading, uncertaintyWords } from '../../say/readings'
import { block, joint as jointWords, station as stationWords, verdict as verdictWords } from '../../say/words'
import { linkTo } from '../../state/router.svelte'

/** Where a station of a job is worked at. */
export function stationLink({ job }: JobView, station: Stop['station']): string {
  if (station === 'advice') return linkTo('bench', job.job_id)
  if (station === 'dock') return job.parcel_id ? linkTo('dock', job.parcel_id) : linkTo('dock')
  if (station === 'outbound') return job.packed ? linkTo('outbound', job.packed.value.parcel_id) : linkTo('outbound')
  return linkTo('bench', job.job_id, station)
}

/** The way on from a leaf: the next station; from that one, the first after it that may be entered, for work is over when its doer says so. */
export function wayOn(view: JobView, leaf: string): string | undefined {
  const { next, route } = view.job
  if (next === null) return undefined
  if (next !== leaf) return stationLink(view, next)
  const after = route.slice(route.findIndex(({ station }) => station === next) + 1).find(({ state, missing }) => state !== 'skipped' && missing.length === 0)
  return after && stationLink(view, after.station)
}

/** The stations along the top. */
export function stationsOf(view: JobView): StripStation[] {
  return view.job.route.map((stop) => ({
    id: stop.station,
    name: stationWords[stop.station],
    state: stop.state satisfies StationState,
    done_ms: stop.at_ms,
    missing: stop.missing.map((missing) => block[missing.block]),
    href: stationLink(view, stop.station),
  }))
}

/** The pictures stand by their hashes in the results that cite them. */
function evidence(count: number): string {
  return count === 0 ? '' : count === 1 ? '1 picture' : `${count} pictures`
}

function sideOf(marked: MarkedResult | null, people: PersonBrief[]): TestSide {
  if (!marked) return { result: null }
  const { outcome, note, photos, taken } = marked.result
  const notes = [
    outcome.kind === 'reading' && (marked.verdict === 'fail' || outcome.rule === 'guarded_acceptance') ? limitsWords(outcome.limits, outcome.reading.unit) : '',
    outcome.kind === 'reading' && outcome.rule === 'guarded_acceptance' ? 'guarded acceptance, w = U' : '',
    outcome.kind === 'reading' ? uncertaintyWords(outcome.reading) : '',
    marked.close ? 'close to its limit' : '',
    outcome.kind === 'not_testable' ? outcome.why : '',
    taken.trace ? 'with its current trace' : '',
    note,
    evidence(photos.length),
  ]
  return {
    result: verdictWords[marked.verdict] as TestSide['result'],
    reading: outcomeReading(outcome),
    in_words: outcome.kind === 'choice',
    note: notes.filter(Boolean).join('; ') || null,
    at_ms: marked.mark.at_ms,
    who: nameOf(people, marked.mark.actor_id),
  }
}

/** A joint waits for its after; that it is not proved is said once there is something after, or the job was closed. */
function verdictOf(row: Comparison, closed: boolean): Verdict | null {
  if (row.joint === 'not_proved' && row.after === null && !closed) return null
  return jointWords[row.joint] as Verdict
}

/** Why two results can't be set against each other stands with the after. */
function withWhy(side: TestSide, { joint, why }: Comparison): TestSide {
  return joint === 'not_comparable' ? { ...side, note: [side.note, ...why.map((sentence) => sentence.replace(/\.$/, ''))].filter(Boolean).join('; ') } : side
}

/** The rows of the spread. */
export function comparedOf({ job, people }: JobView): Compared[] {
  const closed = job.outcome.heads.length > 0
  return job.comparison.map((row) => ({
    id: row.code,
    name: row.title + (row.reason === 'fault' ? ' (the fault)' : row.reason === 'neighbour' ? ' (neighbour)' : ''),
    before: sideOf(row.before, people),
    after: withWhy(sideOf(row.after, people), row),
    verdict: verdictOf(row, closed),
  }))
}

function pictureOf({ value, mark }: Marked<PhotoAdded>): Picture {
  return { src: photoUrl(value.hash, 'thumb'), alt: value.caption || 'Picture without words', at_ms: mark.at_ms }
}

/** Pictures of one thing before and after; each before stands alone until its after is taken. */
export function pairsOf({ job }: JobView): PicturePair[] {
  const before = job.photos.filter(({ value }) => value.place === 'before' || value.place === 'diagnosis')
  const after = job.photos.filter(({ value }) => value.place === 'after')
  const known = new Set<string>(before.map(({ value }) => value.hash))
  return [
    ...before.map((photo) => {
      // The latest picture set beside it is the one that shows.
      const match = after.findLast(({ value }) => value.beside === photo.value.hash)
      return { id: photo.value.hash, title: photo.value.caption || match?.value.caption || 'Picture', before: pictureOf(photo), after: match ? pictureOf(match) : null }
    }),
    ...after.filter(({ value }) => value.beside === null || !known.has(value.beside)).map((photo) => ({
      id: photo.value.hash, title: photo.value.caption || 'Picture', before: null, after: pictureOf(photo),
    })),
  ]
}
