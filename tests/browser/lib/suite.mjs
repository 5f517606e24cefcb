/** What every suite on a desk of its own begins and ends with: a browser, and a lab that was recorded for it. */
import { launch } from './browser.mjs'
import { startEmptyDesk } from './lab.mjs'
import { after, before } from './test.mjs'

/** Starts both before the first test and stops them after the last. `record` is given the desk; `lab` is what it returns. */
export function onDeskOfItsOwn(record) {
  const suite = { browser: undefined, desk: undefined, lab: undefined }
  let running
  before(async () => {
    suite.browser = await launch()
    running = await startEmptyDesk()
    suite.desk = running.desk
    suite.lab = await record(running.desk)
  })
  after(async () => {
    await suite.browser?.close()
    await running?.stop()
  })
  return suite
}
