/** A test of the catalogue as it stands in a form, and back. Limits are moved digit by digit, never computed with. */
import { BackendError } from '../../backend'
import type { DeviceKind, Limits, TestDefinition, TestKind, Unit } from '../../backend/generated'
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
}

/** The fields that show their own errors. */
export const testFields = ['code', 'title', 'device_kinds', 'limits', 'low', 'high']

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
  const limits: Limits = test && test.kind.kind !== 'pass_fail' ? test.kind.limits : { low_micro: null, high_micro: null }
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
  }
}

function kindOf({ kind, unit, low, high }: TypedTest): TestKind {
  if (kind === 'pass_fail') return { kind }
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
  }
}
