import { expect, test } from 'vitest'
import { nextRow } from './row-keys.svelte'

const check = (count: number, from: number, step: 1 | -1, to: number | undefined) => expect(nextRow(count, from, step)).toBe(to)

test('Down from outside goes to the first row', () => check(3, -1, 1, 0))
test('Up from outside goes to the last row', () => check(3, -1, -1, 2))
test('Down moves one row', () => check(3, 0, 1, 1))
test('the last row is the end', () => check(3, 2, 1, 2))
test('the first row is the beginning', () => check(3, 0, -1, 0))
test('an empty list has nowhere to go', () => check(0, -1, 1, undefined))
