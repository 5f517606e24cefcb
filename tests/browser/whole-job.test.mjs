/**
 * One whole job in the real window by keyboard and scanner alone: from the tests before, over diagnosis, quote, work and the
 * tests after, to the report that comes out of the printer. Every key is counted; what it cost is printed.
 *
 * Nothing is clicked and nothing is set by script. Scripts only read the screen, as eyes do.
 */
import assert from 'node:assert/strict'
import { chmodSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { delimiter, join } from 'node:path'
import { Hands } from './lib/hands.mjs'
import { checkedIn, found, oneMore, startDesk } from './lib/lab.mjs'
import { artifacts, program, scratchFolder } from './lib/places.mjs'
import { after, before, test } from './lib/test.mjs'
import { openWindow } from './lib/window-driver.mjs'

/** A job costs no more strokes than this, the letters that a person writes in sentences left out. What is above it is a step back. */
const STROKES_MAX = 45

const labFolder = join(scratchFolder(), 'lab')
/** Stands in for the system's printing programs: `lp` keeps what it was given. */
const system = scratchFolder()
const printedPath = join(system, 'printed.pdf')
const printedWith = join(system, 'printed-with')
let window
let hands
/** The job that is worked, and the two of them: the second has the fault of the first, on the same model. */
let job
let jobs
/** The letters of sentences: they are the person's own and can't be cut, unless they were written before. */
let letters

before(async () => {
  standIn('lp', `for last; do :; done\nprintf '%s\\n' "$@" > '${printedWith}'\ncp "$last" '${printedPath}.part' && mv '${printedPath}.part' '${printedPath}'\n`)
  standIn('xdg-open', 'exit 0\n')
  standIn('lpstat', `case "$1" in -d) echo 'system default destination: counter';; -e) echo counter;; *) echo 'printer counter is idle.  enabled since today';; esac\n`)
  const { desk, stop } = await startDesk(labFolder)
  try {
    const { shops, devices } = await found(desk)
    jobs = [devices[0], await oneMore(desk, shops[0])]
    for (const each of jobs) await checkedIn(desk, each)
  } finally {
    await stop()
  }
  window = await openWindow({
    program: program('waybench'), words: ['--lab', labFolder], artifacts: artifacts('whole-job'),
    env: { PATH: system + delimiter + process.env.PATH },
  })
})
after(async () => {
  await window?.screenshot('at-the-end').catch(() => undefined)
  await window?.close()
})

function standIn(name, script) {
  const path = join(system, name)
  writeFileSync(path, `#!/bin/sh\n${script}`)
  chmodSync(path, 0o755)
}

const address = () => window.execute('return location.hash')
const onLeaf = (leaf) => window.until(`the leaf ${leaf} is open`, async () => (await address()).startsWith(`#/bench/${job.job_id}/${leaf}`))
const shows = (text) => window.findText('main', text)

/** What the scan line says was recorded; waits for words that were not there before. */
async function recorded(words) {
  await window.until(`the scan line says “${words}”`, () => window.execute(`
    const said = document.querySelector('form[role=search] [role=status]')
    return said?.dataset.kind === 'recorded' && said.textContent.includes(arguments[0])`, words))
}

async function sentence(name, text) {
  if (name) await hands.fill(name, text)
  else await hands.write(text)
  letters += [...text].length
}

/** The test that the list stands at, as it is read there: its title, and whether a number is asked for. */
const atHand = () => window.execute(`
  const pane = document.querySelector('section[aria-label="The test at hand"]')
  return pane && { title: pane.querySelector('h3').textContent.trim(), measured: [...pane.querySelectorAll('button')].some((button) => button.textContent.trim() === 'Reading'), answers: pane.querySelectorAll('button kbd').length }`)

/** Does every test of the list: one key each, a measured one by its digits and Enter. */
async function doTests(count, keyOf) {
  for (let index = 0; index < count; index += 1) {
    const row = await atHand()
    const key = keyOf(row)
    if (row.measured && /\d/.test(key)) {
      await hands.write(key)
      await window.until('a reading is asked for', () => window.execute('return document.activeElement.matches("form input")'))
      await hands.press('Enter')
    } else {
      await hands.write(key)
    }
    await window.until('the result is in', () => window.execute(`
      return !document.querySelector('main').textContent.includes('being recorded') && arguments[0] <= Number(/(\\d+) of \\d+ have a result/.exec(document.querySelector('main').textContent)?.[1] ?? 0)`, index + 1))
  }
}

/** Works one job from the scan of its tag to its printed report. `write` does what a person writes: diagnosis, quote, step. */
async function workJob({ diagnosis, quote, step }) {
  const begun = Date.now()
  hands = new Hands(window)
  letters = 0
  rmSync(printedPath, { force: true })
  await window.until('the scan line has the focus', () => window.execute('return document.activeElement?.matches("[data-scan-line]")'))

  await hands.scan(job.reference.replaceAll('-', ''))
  await shows(job.reference)
  hands.done('the job opened')

  await hands.press('Alt+n')
  await onLeaf('before')
  await shows('Choose the tests')
  await hands.press('Alt+f')
  await hands.tabTo('shows the fault')
  await hands.press(' ')
  await hands.press('Control+Enter')
  await recorded('chosen')
  hands.done('tests chosen')

  const tests = await window.until('the list of tests has the focus', () => window.execute(`
    const list = document.querySelector('[role=toolbar]')
    return list?.contains(document.activeElement) && list.querySelectorAll('button').length`))
  await doTests(tests, (row) => (row.measured ? '2,4' : 'f'))
  await window.screenshot('before')
  hands.done(`${tests} tests before`)

  await hands.press('Alt+n')
  await onLeaf('quote')
  await diagnosis()
  await hands.press('Control+Enter')
  await recorded('The diagnosis')
  hands.done('diagnosis')

  await quote()
  await hands.press('Control+Enter')
  await recorded('agreed at once')
  hands.done('quote, agreed by the standing limit')

  await hands.press('Alt+n')
  await onLeaf('work')
  await step()
  await hands.press('Control+Enter')
  await recorded('The step')
  hands.done('a step of work')

  await hands.press('Alt+n')
  await onLeaf('after')
  await window.until('the list of tests has the focus', () => window.execute('return document.querySelector("[role=toolbar]")?.contains(document.activeElement)'))
  await doTests(tests, (row) => (row.measured ? '1,1' : row.answers > 0 ? '1' : 'p'))
  await window.screenshot('after')
  hands.done(`${tests} tests after`)

  await hands.press('Alt+n')
  await onLeaf('report')
  // Everything speaks for “repaired”, so it is chosen already.
  await hands.intoForm('repaired')
  await sentence('What the shop should know', 'It starts again.')
  await hands.press('Control+Enter')
  await recorded('The outcome')
  hands.done('outcome')

  await hands.intoForm('A4')
  await hands.press('Control+Enter')
  await recorded('The return report')
  await window.findText('main button', 'Print')
  await hands.press('Control+p')
  await window.until('the printer was given the report', () => existsSync(printedPath))
  hands.done('report made and printed')

  assert.equal(readFileSync(printedPath).subarray(0, 5).toString(), '%PDF-')
  assert.match(readFileSync(printedWith, 'utf8'), /print-scaling=none/)
  const seconds = ((Date.now() - begun) / 1000).toFixed(0)
  for (const [words, keys, scans] of hands.parts) console.log(`   ${String(keys).padStart(4)} keys ${String(scans).padStart(2)} scans  ${words}`)
  console.log(`   ${hands.keys} keys, of them ${letters} letters of sentences; ${hands.scans} scan; ${seconds} s with ${tests} tests`)
  assert.ok(hands.keys - letters <= STROKES_MAX, `${hands.keys - letters} strokes besides sentences`)
}

test('a job is worked from its first test to its printed report by keyboard and scanner alone', { timeout: 300_000 }, async () => {
  ;[job] = jobs
  await workJob({
    diagnosis: async () => {
      await hands.intoForm('What is thought')
      await sentence('', 'The main supply is shorted to ground')
      await hands.fill('Suspected part', 'C4012')
    },
    quote: async () => {
      await hands.intoForm('What for')
      await sentence('', 'Renew the short')
      await hands.fill('How much', '49')
    },
    step: async () => {
      await hands.intoForm('What was done')
      await sentence('', 'C4012 taken off and a new one fitted')
      await hands.press('Alt+p')
      await window.until('the new row has the focus', () => window.execute('return document.activeElement.labels?.[0]?.textContent.startsWith("Designator")'))
      await hands.write('C4012')
    },
  })
})

test('the next device with that fault takes over the words, so that only its own are written', { timeout: 300_000 }, async () => {
  ;[, job] = jobs
  await hands.press('/')
  const takeOver = async (words) => {
    await window.until('words are offered', () => window.execute('return document.querySelector("[data-takes-over]") !== null'))
    await hands.press('Alt+o')
    await window.until('they are in the form', () => window.execute('return document.activeElement.value === arguments[0]', words))
  }
  await workJob({
    diagnosis: () => takeOver('The main supply is shorted to ground'),
    quote: () => takeOver('Renew the short'),
    step: () => takeOver('C4012 taken off and a new one fitted'),
  })
  assert.ok(letters <= 'It starts again.'.length, `${letters} letters were written anew`)
})
