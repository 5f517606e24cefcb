import { describe, expect, test } from 'vitest'
import type { JobView } from '../../backend/generated'
import { againFrom, emptyCheck, ticked } from './cell-check'

describe('a tick', () => {
  test('on “nothing wrong” takes the findings away', () => expect(ticked(['swollen'], ['swollen', 'nothing_wrong'])).toEqual(['nothing_wrong']))
  test('on a finding takes “nothing wrong” away', () => expect(ticked(['nothing_wrong'], ['nothing_wrong', 'hot'])).toEqual(['hot']))
  test('that is taken away changes nothing else', () => expect(ticked(['swollen', 'hot'], ['hot'])).toEqual(['hot']))
})

test('a second look keeps what is printed on the cell and nothing of what was seen', () => {
  const check = { findings: ['hot'], voltage_mv: 3820, cells_in_series: 2, cells_in_parallel: 3, chemistry: 'li_ion', note: 'x', rating: { label_uwh: 19_400_000, nominal_mv: 3850, capacity_mah: 5000, charge_max_mv: null } }
  expect(againFrom({ job: { cell_checks: [{ check }] } } as unknown as JobView)).toEqual({ ...emptyCheck(), chemistry: 'li_ion', cells_in_series: '2', cells_in_parallel: '3', label_wh: '19.4', nominal_v: '3.85', capacity_mah: '5000' })
})
