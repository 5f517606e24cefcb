/** What the backend says has changed, told to whoever shows it. One subscription for the whole window. */
import { on } from '../backend'
import type { Changed, Subject } from '../backend/generated'

type Hear = (changed: Changed) => void

const hearers = new Set<Hear>()
let stop: (() => void) | undefined

/** Hears every change until the returned function is called. */
export function onChanged(hear: Hear): () => void {
  hearers.add(hear)
  stop ??= on<Changed>('changed', (changed) => hearers.forEach((each) => each(changed)))
  return () => {
    hearers.delete(hear)
    if (hearers.size > 0) return
    stop?.()
    stop = undefined
  }
}

/** Whether a change is about something of these kinds; new facts about anything, if none are named. */
export function concerns(changed: Changed, ...kinds: Subject['kind'][]): boolean {
  return changed.kind === 'subjects' && (kinds.length === 0 || changed.subjects.some(({ kind }) => kinds.includes(kind)))
}

/** Whether a change is about this one thing. */
export function isAbout(changed: Changed, kind: Subject['kind'], id: string): boolean {
  return changed.kind === 'subjects' && changed.subjects.some((subject) => subject.kind === kind && subject.id === id)
}
