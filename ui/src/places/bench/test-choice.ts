/** Which tests stand ticked when a person begins to choose, and in which order they are done. */
import type { JobView, SuggestedTest } from '../../backend/generated'

export interface TestChoices {
  codes: string[]
  shows_fault: string[]
}

/** What was chosen last; else what the fault's words suggest. A single suggestion is taken as the one that shows the fault. */
export function firstChoice({ job, tests }: JobView): TestChoices {
  const chosen = job.tests.heads[0]?.value.tests
  if (chosen) return { codes: chosen.map(({ code }) => code), shows_fault: chosen.filter(({ shows_fault }) => shows_fault).map(({ code }) => code) }
  const suggested = tests.filter(({ suggested }) => suggested).map(({ test }) => test.code)
  return { codes: suggested, shows_fault: suggested.length === 1 ? suggested : [] }
}

/** The tests under their groups, both in the catalogue's order. */
export function grouped(tests: SuggestedTest[]): { name: string; tests: SuggestedTest[] }[] {
  const groups = new Map<string, SuggestedTest[]>()
  for (const test of tests) groups.set(test.test.group, [...(groups.get(test.test.group) ?? []), test])
  return [...groups].map(([name, own]) => ({ name, tests: own }))
}

/** Codes in the order of the screen: group by group. Ticks come in any order; the bench goes down the list. */
export function orderedCodes(tests: SuggestedTest[], codes: string[]): string[] {
  return grouped(tests).flatMap((group) => group.tests).map(({ test }) => test.code).filter((code) => codes.includes(code))
}
