/**
 * The real window, on a display without a screen: it opens on a lab, a scan leads to the spread, something is recorded and is
 * still there when the window is opened again; pictures and papers take their own ways in and out.
 */
import assert from 'node:assert/strict'
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs'
import { delimiter, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { furnish, startDesk } from './lib/lab.mjs'
import { artifacts, program, scratchFolder } from './lib/places.mjs'
import { after, before, test } from './lib/test.mjs'
import { openWindow } from './lib/window-driver.mjs'

const folder = artifacts('window')
const picture = new URL('./pictures/board.jpg', import.meta.url)
/** Stands in for the system's viewer: it only notes what it was given. */
const viewer = scratchFolder()
const shownPath = join(viewer, 'shown')
let window
let labFolder
let job

before(async () => {
  const program = join(viewer, 'xdg-open')
  writeFileSync(program, `#!/bin/sh\nprintf '%s' "$1" > '${shownPath}.part' && mv '${shownPath}.part' '${shownPath}'\n`)
  chmodSync(program, 0o755)
  labFolder = process.env.WAYBENCH_LAB ?? join(scratchFolder(), 'lab')
  job = await jobToOpen()
  window = await open()
})
after(() => window?.close())

function open(dark = false) {
  return openWindow({ program: program('waybench'), words: ['--lab', labFolder], artifacts: folder, dark, env: { PATH: viewer + delimiter + process.env.PATH } })
}

/** A job of the lab that is there, or of one that is recorded first. The desk is closed again before the window opens it. */
async function jobToOpen() {
  const { desk, stop } = await startDesk(labFolder)
  try {
    if (process.env.WAYBENCH_LAB === undefined) return (await furnish(desk)).jobs.quoted
    const { rows } = await desk.call('rack', { shop_id: null, stage: null, words: '', with_returned: false })
    assert.ok(rows.length > 0, `the lab in ${labFolder} has no job in the house`)
    return rows.find((row) => row.promised_date !== '') ?? rows[0]
  } finally {
    await stop()
  }
}

/** Runs one of the window's own commands from inside the page, as the screens do. Gives `{ answer }` or `{ error }`. */
function invoke(command, words, headers) {
  const script = `
    const [command, words, headers, done] = arguments
    const content = words.bytes ? Uint8Array.from(atob(words.bytes), (unit) => unit.charCodeAt(0)) : words
    window.__TAURI_INTERNALS__.invoke(command, content, headers && { headers })
      .then((answer) => done({ answer }), (error) => done({ error }))`
  return window.executeAsync(script, command, words, headers ?? null)
}

test('the window opens and the focus is on the scan line', async () => {
  await window.find('[data-scan-line]')
  await window.until('the scan line has the focus', () => window.execute('return document.activeElement?.matches("[data-scan-line]")'))
  await window.screenshot('opened')
})

test('a scanned reference opens the spread of its job', async () => {
  await window.keys(job.reference.replaceAll('-', ''))
  await window.press('Enter')
  await window.until('the address is the job’s', () => window.execute('return location.hash.includes(arguments[0])', job.job_id))
  await window.findText('main', job.reference)
  await window.screenshot('spread')
})

test('a promised day is said in words, in the webview’s own way of writing dates', async () => {
  const said = await window.until('the head of the job says when it is due', () => window.execute('return /due [^,.]+|\\d+ days? late/.exec(document.querySelector("main").innerText)?.[0]'))
  assert.doesNotMatch(said, /\d{4}-\d\d-\d\d/)
})

test('a note is written, and is still there when the window is opened again', async () => {
  const note = `Written at ${Date.now()}`
  await writeNote(note)
  await window.close()
  window = await open(true)
  await window.find('[data-scan-line]')
  await window.execute('location.hash = arguments[0]', `#/bench/${job.job_id}/words`)
  await window.findText('main', note)
  await window.screenshot('reopened-dark')
})

/** By keyboard, as a person would: into the field, and Ctrl+Enter. */
async function writeNote(note) {
  await window.execute('location.hash = arguments[0]', `#/bench/${job.job_id}/words`)
  const field = await window.until('the field for a note is there', () => window.execute(`
    return [...document.querySelectorAll('label')].find((label) => label.textContent.trim() === 'For the lab')?.control ?? null`))
  await window.execute('arguments[0].scrollIntoView({ block: "center" })', field)
  await window.click(field)
  await window.write(note)
  await window.press('Control+Enter')
  await window.find('form[role=search] [role=status][data-kind=recorded]')
  await window.findText('main li', note)
}

test('a picture that is chosen lands on the job', async () => {
  await window.execute('location.hash = arguments[0]', `#/bench/${job.job_id}/before`)
  await window.type('main input[aria-label="Choose pictures"]', fileURLToPath(picture))
  // Pictures are loaded when they come into sight, and the tests above them fill the window.
  await window.until('the picture is shown', () => window.execute(`
    for (const image of document.querySelectorAll('main img')) image.scrollIntoView()
    return [...document.querySelectorAll('main img')].some((image) => image.src.startsWith('photo:') && image.naturalWidth > 0)`))
  await window.screenshot('picture')
})

test('a command of another name is refused in words', async () => {
  const { error } = await invoke('call', { name: 'no_such_command', request: {} })
  assert.match(error.message, /no command “no_such_command”/)
})

test('a picture goes in as bytes and comes out by its hash, small and whole', async () => {
  const bytes = readFileSync(picture).toString('base64')
  const target = { subject: { kind: 'job', id: job.job_id }, place: 'condition', caption: 'd\u00e9j\u00e0 vu', beside: null }
  const header = JSON.stringify(target).replace(/[\u007f-\uffff]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`)
  const { answer, error } = await invoke('put_photo', { bytes }, { 'x-photo-target': header })
  assert.equal(error, undefined, error?.message)
  assert.equal(answer.caption, 'd\u00e9j\u00e0 vu')
  for (const [what, query] of [['whole', ''], ['small', '?thumb=1']]) {
    const width = await window.executeAsync(`
      const [address, done] = arguments
      const image = new Image()
      image.onload = () => done(image.naturalWidth)
      image.onerror = () => done(0)
      image.src = address`, `photo://localhost/${answer.hash}${query}`)
    assert.ok(width > 0, `the ${what} picture is not shown`)
  }
})

test('what is no picture, and a picture without a place, are refused in words', async () => {
  const target = JSON.stringify({ subject: { kind: 'job', id: job.job_id }, place: 'condition', caption: '', beside: null })
  const notPicture = await invoke('put_photo', { bytes: Buffer.from('no picture').toString('base64') }, { 'x-photo-target': target })
  assert.ok(notPicture.error?.message.length > 0, 'text was taken in as a picture')
  const noPlace = await invoke('put_photo', { bytes: Buffer.from('no picture').toString('base64') })
  assert.match(noPlace.error?.message, /without its place/)
})

test('a picture that nobody knows is not there', async () => {
  const status = await window.executeAsync(`
    const [address, done] = arguments
    const image = new Image()
    image.onload = () => done('shown')
    image.onerror = () => done('missing')
    image.src = address`, `photo://localhost/${'0'.repeat(64)}`)
  assert.equal(status, 'missing')
})

test('a paper’s name leads nowhere else', async () => {
  for (const name of ['../logbook.sqlite', '/etc/passwd', 'no-such-paper.pdf']) {
    const { error } = await invoke('open_paper', { name })
    assert.match(error?.message ?? 'it was opened', /no such paper/, name)
  }
  const { error } = await invoke('open_file', { hash: 'not a hash' })
  assert.match(error?.message ?? 'it was opened', /no such paper/)
})

test('tags are printed as a paper, which the system’s viewer is given', async () => {
  const request = { job_ids: [job.job_id], stock: 'sheet_a4', first_label: 1 }
  const { answer: paper, error } = await invoke('call', { name: 'print_job_tags', request })
  assert.equal(error, undefined, error?.message)
  const opened = await invoke('open_paper', { name: paper.name })
  assert.equal(opened.error, undefined, opened.error?.message)
  await window.until('the viewer was started', () => existsSync(shownPath))
  const shown = readFileSync(shownPath, 'utf8')
  assert.equal(shown, join(labFolder, 'papers', paper.name))
  assert.equal(readFileSync(shown).subarray(0, 5).toString(), '%PDF-')
})
