/** A test that is given up when it takes far longer than it should, so that one that hangs is named and the others still run. */
import { test as nodeTest } from 'node:test'

export { after, before } from 'node:test'

const TEST_MS = 180_000

export function test(name, ...rest) {
  const work = rest.pop()
  nodeTest(name, { timeout: TEST_MS, ...rest[0] }, work)
}
