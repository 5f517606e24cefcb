import { expect, test } from 'vitest'
import { emptyHeat, heatInput } from './heat'

const check = (typed: string, designators: string[]) => expect(heatInput({ ...emptyHeat(), neighbours: typed }).neighbours).toEqual(designators)

test('neighbours may be typed with commas or blanks', () => check('C2402, U2500  L10;R7', ['C2402', 'U2500', 'L10', 'R7']))
test('no neighbour is none', () => check('  ', []))
