/** Where things are: our programs, the browser, and the folder for pictures. `cargo xtask` says so; by hand, the usual places do. */
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = join(dirname(fileURLToPath(import.meta.url)), '../../..')
const programs = process.env.WAYBENCH_PROGRAMS ?? join(root, 'target/debug')

/** The browser that looks at the screens. */
export const browserProgram = process.env.WAYBENCH_BROWSER ?? '/usr/bin/chromium'

/** The built screens. */
export const screens = process.env.WAYBENCH_SCREENS ?? join(root, 'ui/dist')

/** One of our programs, such as `twin` or `examples/portal_fixture`. */
export function program(name) {
  const path = join(programs, name)
  if (!existsSync(path)) throw new Error(`${path} is not built; run cargo build --workspace --all-targets`)
  return path
}

/** The folder for the pictures and logs of one suite, which are kept. */
export function artifacts(suite) {
  const folder = join(process.env.WAYBENCH_ARTIFACTS ?? join(root, 'tests/artifacts'), suite)
  mkdirSync(folder, { recursive: true })
  return folder
}

/** An empty folder that is gone when the tests end. */
export function scratchFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'waybench-'))
  process.on('exit', () => rmSync(folder, { recursive: true, force: true }))
  return folder
}
