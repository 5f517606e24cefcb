/** Values that two desktops set differently while apart, each side in words. */
import type { Disputed, Head, Job, JobView, Register, Signs } from '../../backend/generated'
import { money } from '../../say/amounts'
import { dateWords } from '../../say/due'
import { nameOf } from '../../say/people'
import { accountLock, deviceKind, disputed, identifierKind, list, many, outcome } from '../../say/words'

export interface Dispute {
  value: Disputed
  about: string
  sides: { entry_id: string; value: string; who: string; at_ms: number }[]
}

/** Signs in a sentence. */
export function signsWords(signs: Signs): string {
  const seen = [
    `account lock ${accountLock[signs.account_lock].split(':')[0]}`,
    signs.liquid_indicator_turned ? 'liquid indicator turned' : 'liquid indicator not turned',
    signs.screws_missing > 0 ? `${many(signs.screws_missing, 'screw')} missing` : 'no screw missing',
    signs.seal_broken ? 'seal broken or missing' : 'seals whole',
    signs.earlier_work ? 'worked on before' : 'no sign of earlier work',
  ]
  return [seen.join(', '), signs.note].filter(Boolean).join(': ')
}

/** The disagreements of a job. */
export function disputesOf({ job, people }: JobView, tag: string): Dispute[] {
  const found: Dispute[] = []
  const look = <Value>(value: Disputed, register: Register<Value>, words: (value: Value) => string) => {
    if (register.heads.length < 2) return
    const side = ({ mark, value }: Head<Value>) => ({ entry_id: mark.entry_id, value: words(value), who: nameOf(people, mark.actor_id), at_ms: mark.at_ms })
    const sides = register.heads.map(side)
    // Two people who said the same do not disagree.
    if (new Set(sides.map(({ value }) => value)).size > 1) found.push({ value, about: disputed[value], sides })
  }
  look('outcome', job.outcome, ({ outcome: kind, words }) => [outcome[kind], words].filter(Boolean).join(': '))
  look('quote', job.quote, ({ lines, promised_date }) => [lines.map(({ text, amount }) => `${text} ${money(amount.minor, amount.currency, tag)}`).join(', '), promised_date && `promised for ${dateWords(promised_date, tag)}`].filter(Boolean).join('; '))
  look('device', job.device, ({ kind, maker, model, colour }) => [deviceKind[kind], maker, model, colour].filter(Boolean).join(' '))
  look('identity', job.identity, ({ identifiers }) => list(identifiers.map(({ kind, text }) => `${identifierKind[kind]} ${text}`)))
  look('signs', job.signs, signsWords)
  look('accessories', job.accessories, ({ items }) => (items.length === 0 ? 'none' : list(items)))
  look('tests', job.tests, ({ tests }) => list(tests.map(({ title }) => title)))
  return found
}

/** Whether anything about a job must be looked at by a person. */
export const needsLook = (job: Job): boolean => job.exceptions.length > 0 || job.read_only || job.unknown_entries > 0
