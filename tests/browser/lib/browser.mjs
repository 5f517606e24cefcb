/** One Chromium for a suite, with a context for each visitor. */
import { chromium } from 'playwright-core'
import { browserProgram } from './places.mjs'

/** How long a thing may take to appear before a test gives it up. */
const APPEAR_MS = 20_000

/** Nothing here may wait for the network, a profile or a graphics card. */
const WORDS = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync',
]

export function launch() {
  return chromium.launch({ executablePath: browserProgram, args: WORDS })
}

/** A page of a visitor of its own. Close its context when done. */
export async function openPage(browser, { width, height, dark = false, ...more }) {
  const context = await browser.newContext({
    viewport: { width, height },
    colorScheme: dark ? 'dark' : 'light',
    reducedMotion: 'reduce',
    locale: 'en-GB',
    timezoneId: 'Europe/Berlin',
    ...more,
  })
  context.setDefaultTimeout(APPEAR_MS)
  return context.newPage()
}
