/** A test of the catalogue as it stands in a form, and back. Limits are moved digit by digit, never computed with. */
import { BackendError } from '../../backend'
import type { DeviceKind, Instrument, Limits, Needs, TestDefinition, TestKind, Unit } from '../../backend/generated'
import { readDecimal } from '../../say/amounts'

export interface TypedTest {
  code: string
  group: string
  title: string
  how: string
  attached: string
  caution: string
  device_kinds: string[]
  fault_words: string
  kind: string
  unit: string
  low: string
  high: string
  answers: { words: string; passes: boolean }[]
  needs: string
  instrument: string
  /** Percent of the reading, counts, and the size of one count, as a data sheet has them. */
  accuracy_percent: string
  accuracy_counts: string
  count: string
  range_low: string
  range_high: string
  safety_limit: boolean
}

/** The fields that show their own errors. */
export const testFields = ['code', 'title', 'how', 'device_kinds', 'limits', 'low', 'high', 'answers', 'range', 'accuracy_percent', 'accuracy_counts', 'count', 'range_low', 'range_high']

const DECIMALS = 6

/** Millionths as a decimal number, without trailing zeros. */
export function fromMicro(micro: number | null): string {
  if (micro === null) return ''
  const digits = String(Math.abs(micro)).padStart(DECIMALS + 1, '0')
  const fraction = digits.slice(-DECIMALS).replace(/0+$/, '')
  return `${micro < 0 ? '-' : ''}${digits.slice(0, -DECIMALS)}${fraction === '' ? '' : `.${fraction}`}`
}

/** A typed decimal number in millionths; nothing for an empty field. Throws what is wrong with the field. */
export function toMicro(field: string, typed: string): number | null {
  if (typed.trim() === '') return null
  const read = readDecimal(typed)
  if (!read.ok) throw new BackendError({ code: 'field', field, message: read.error })
  const [whole = '0', fraction = ''] = read.value.split('.')
  if (fraction.length > DECIMALS) throw new BackendError({ code: 'field', field, message: 'Write at most six decimals.' })
  const micro = Number(whole + fraction.padEnd(DECIMALS, '0'))
  if (!Number.isSafeInteger(micro)) throw new BackendError({ code: 'field', field, message: 'This number is too large for a reading.' })
  return micro
}

export function testInForm(test: TestDefinition | undefined): TypedTest {
  const limits: Limits = test && 'limits' in test.kind ? test.kind.limits : { low_micro: null, high_micro: null }
  return {
    code: test?.code ?? '',
    group: test?.group ?? '',
    title: test?.title ?? '',
    how: test?.how ?? '',
    attached: test?.attached ?? '',
    caution: test?.caution ?? '',
    device_kinds: [...(test?.device_kinds ?? [])],
    fault_words: (test?.fault_words ?? []).join(', '),
    kind: test?.kind.kind ?? 'pass_fail',
    unit: test?.kind.kind === 'reading' ? test.kind.unit : 'volt',
    low: fromMicro(limits.low_micro),
    high: fromMicro(limits.high_micro),
    answers: test?.kind.kind === 'choice' ? test.kind.answers.map((answer) => ({ ...answer })) : [{ words: '', passes: true }, { words: '', passes: false }],
    needs: test?.needs ?? 'closed',
    instrument: test?.instrument.name ?? '',
    accuracy_percent: test && test.instrument.reading_ppm > 0 ? fromMicro(test.instrument.reading_ppm * 100) : '',
    accuracy_counts: test && test.instrument.counts > 0 ? String(test.instrument.counts) : '',
    count: test && test.instrument.count_micro > 0 ? fromMicro(test.instrument.count_micro) : '',
    range_low: fromMicro(test?.instrument.low_micro ?? null),
    range_high: fromMicro(test?.instrument.high_micro ?? null),
    safety_limit: test?.safety_limit ?? false,
  }
}

function wrong(field: string, message: string): never {
  throw new BackendError({ code: 'field', field, message })
}

/** What a reading is taken with, as its data sheet says. Ten thousand millionths are a percent. */
function instrumentOf(typed: TypedTest): Instrument {
  const percent = toMicro('accuracy_percent', typed.accuracy_percent) ?? 0
  if (percent < 0 || percent > 100_000_000 || percent % 100 !== 0) wrong('accuracy_percent', 'Write a percentage from 0 to 100 with at most four decimals.')
  const counts = typed.accuracy_counts.trim()
  if (!/^\d{0,4}$/.test(counts)) wrong('accuracy_counts', 'Write a whole number of counts.')
  const count_micro = toMicro('count', typed.count) ?? 0
  if (count_micro < 0) wrong('count', 'One count of the last digit is larger than nothing.')
  if (counts !== '' && counts !== '0' && count_micro === 0) wrong('count', 'Say how much one count of the last digit is.')
  return {
    name: typed.instrument.trim(), reading_ppm: percent / 100, counts: Number(counts), count_micro,
    low_micro: toMicro('range_low', typed.range_low), high_micro: toMicro('range_high', typed.range_high),
  }
}

function kindOf({ kind, unit, low, high, answers }: TypedTest): TestKind {
  if (kind === 'pass_fail') return { kind }
  if (kind === 'choice') return { kind, answers: answers.map(({ words, passes }) => ({ words: words.trim(), passes })).filter(({ words }) => words !== '') }
  const limits = { low_micro: toMicro('low', low), high_micro: toMicro('high', high) }
  return kind === 'timed' ? { kind, limits } : { kind: 'reading', unit: unit as Unit, limits }
}

export function typedTest(typed: TypedTest, version: number): TestDefinition {
  return {
    code: typed.code.trim(),
    version,
    group: typed.group.trim() || 'other',
    title: typed.title,
    how: typed.how.trim(),
    attached: typed.attached.trim(),
    device_kinds: typed.device_kinds as DeviceKind[],
    fault_words: typed.fault_words.split(',').map((word) => word.trim().toLowerCase()).filter(Boolean),
    kind: kindOf(typed),
    caution: typed.caution.trim(),
    needs: typed.needs as Needs,
    instrument: instrumentOf(typed),
    safety_limit: typed.safety_limit && ['reading', 'timed'].includes(typed.kind),
    retired: false,
  }
}
