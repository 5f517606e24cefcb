/**
 * One lab on several computers, by its screens: a server is connected, a second desktop joins by an invitation, a shop's user
 * is let in by a link, a backup is made and restored on a third computer, and a folder of pictures is watched.
 *
 * The server is the real one on a port of its own; each desktop is a desk on a folder of its own.
 */
import assert from 'node:assert/strict'
import { execFileSync } from 'node:child_process'
import { copyFileSync, mkdirSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { launch, openPage } from './lib/browser.mjs'
import { found, startDesk } from './lib/lab.mjs'
import { lookAtAll } from './lib/look.mjs'
import { artifacts, program, scratchFolder } from './lib/places.mjs'
import { start, waitUntil } from './lib/processes.mjs'
import { SIZES, withScreensOf } from './lib/screens.mjs'
import { after, before, test } from './lib/test.mjs'

const FLOW_MS = 20_000
const LOOKED_AT = [SIZES[0]]

const folder = artifacts('desktops')
const home = scratchFolder()
const data = join(home, 'server')
const picture = fileURLToPath(new URL('./pictures/board.jpg', import.meta.url))
let browser, server, url, first, second, third, lab

function freePort() {
  return new Promise((resolve, reject) => {
    const probe = createServer()
    probe.once('error', reject)
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address()
      probe.close(() => resolve(port))
    })
  })
}

/** Runs the server's program once and returns what it prints. */
const serverSays = (command) => execFileSync(program('sync-server'), [command, '--data', data], { encoding: 'utf8' }).trim().split('\n').at(-1)

const isUp = async () => (await fetch(`${url}/healthz`).catch(() => undefined))?.ok

const withScreens = (desk, work) => withScreensOf(browser, desk, SIZES[0], work)

/** Waits until a desktop has everything that another one knows. */
async function sameAs(desk, other) {
  // Until it has joined, a desktop has nothing to count.
  const entries = (each) => each.call('setup').then(({ entries }) => entries, () => null)
  const same = await waitUntil(async () => (await entries(desk)) === (await entries(other)), FLOW_MS)
  assert.ok(same, `one desktop has ${await entries(desk)} entries, the other ${await entries(other)}`)
}

before(async () => {
  browser = await launch()
  const port = await freePort()
  url = `http://127.0.0.1:${port}`
  server = start(program('sync-server'), ['serve', '--data', data, '--listen', `127.0.0.1:${port}`, '--public-url', url], { logPath: join(folder, 'server.log') })
  first = await startDesk(join(home, 'first'), { offline: false })
  lab = await found(first.desk)
  assert.ok(await waitUntil(isUp, FLOW_MS), 'the server is not up')
})
after(async () => {
  await browser?.close()
  for (const desktop of [first, second, third]) await desktop?.stop()
  await server?.stop()
})

test('a wrong code is refused and what was typed stays; the right one connects the lab to its server', () => withScreens(first.desk, async (screens) => {
  const { page } = screens
  await screens.go('setup/server')
  await page.getByLabel("The server's address").fill(url)
  await page.getByLabel('One-time code').fill('NOT-A-CODE')
  await page.getByRole('button', { name: 'Connect', exact: true }).click()
  await screens.settled()
  assert.equal(screens.refusals.length, 1)
  assert.equal(await page.getByLabel("The server's address").inputValue(), url)
  await page.getByLabel('One-time code').fill(serverSays('join-code'))
  await page.getByRole('button', { name: 'Connect', exact: true }).click()
  await page.getByText('Invite one more desktop').first().waitFor()
  const inStep = await waitUntil(async () => (await first.desk.call('state')).sync.entries_waiting === 0, FLOW_MS)
  assert.ok(inStep, 'what was recorded before is not sent')
  assert.deepEqual(await lookAtAll(page, folder, 'connected', LOOKED_AT), [])
}))

test('a second desktop joins by the invitation and has the whole logbook', async () => {
  let invitation
  await withScreens(first.desk, async (screens) => {
    await screens.go('setup/server')
    await screens.page.getByRole('button', { name: 'Invite one more desktop' }).click()
    invitation = await screens.page.getByLabel('Enter this at the new desktop').inputValue()
    assert.deepEqual(await lookAtAll(screens.page, folder, 'invited', LOOKED_AT), [])
  })
  second = await startDesk(join(home, 'second'), { offline: false })
  await withScreens(second.desk, async (screens) => {
    const { page } = screens
    await screens.go('first/join')
    await page.getByLabel('The invitation').fill(invitation)
    await page.getByLabel('What this desktop is called').fill('Bench 2')
    await page.getByRole('button', { name: 'Join the lab' }).click()
    await sameAs(second.desk, first.desk)
    await page.getByRole('button', { name: /Tom Abiola/ }).click()
    await screens.go('rack')
    await page.getByRole('link', { name: lab.devices[0].reference }).waitFor()
    assert.deepEqual(await lookAtAll(page, folder, 'joined', LOOKED_AT), [])
  })
  // The invitation works once.
  const late = await startDesk(join(home, 'late'), { offline: false })
  try {
    await assert.rejects(late.desk.call('join_lab', { invitation, desktop_name: 'Bench 3' }))
  } finally {
    await late.stop()
  }
})

test('what the second desktop records stands on the first', async () => {
  await second.desk.call('record_note', { job_id: lab.devices[0].job_id, text: 'Seen at the other bench' })
  await withScreens(first.desk, async (screens) => {
    await screens.go(`bench/${lab.devices[0].job_id}/words`)
    const seen = await waitUntil(async () => (await screens.text()).includes('Seen at the other bench'), FLOW_MS)
    assert.ok(seen, 'the note did not come over by itself')
  })
})

test('a person of a shop comes in by the link that the lab makes', async () => {
  let link
  await withScreens(first.desk, async (screens) => {
    await screens.go(`shops/${lab.shops[0].shop_id}`)
    const { page } = screens
    await page.getByLabel('E-mail').last().fill('counter@harbour-phones.example')
    await page.getByRole('button', { name: 'Make a link' }).click()
    link = await page.getByLabel('Send this link to them').inputValue()
    assert.deepEqual(await lookAtAll(page, folder, 'shop-link', LOOKED_AT), [])
  })
  assert.ok(link.startsWith(url), link)
  const page = await openPage(browser, { width: 390, height: 844 })
  const answer = await page.goto(link)
  assert.equal(answer.status(), 200)
  await page.locator('input[type=password]').first().waitFor()
  await page.context().close()
})

test('a backup that one computer makes is restored by another, to the last entry', async () => {
  const kept = join(home, 'kept')
  await withScreens(first.desk, async (screens) => {
    await screens.go('setup/backup')
    await screens.page.getByLabel('Folder').fill(kept)
    await screens.page.getByRole('button', { name: 'Back up' }).click()
    await screens.page.getByText('Backed up:').waitFor()
    assert.deepEqual(await lookAtAll(screens.page, folder, 'backed-up', LOOKED_AT), [])
  })
  await first.stop()
  third = await startDesk(join(home, 'third'), { offline: false })
  await withScreens(third.desk, async (screens) => {
    const { page } = screens
    await screens.go('first/restore')
    await page.getByLabel('The folder of the backup').fill(join(home, 'nothing-here'))
    await page.getByRole('button', { name: 'Restore the lab' }).click()
    await screens.settled()
    assert.equal(screens.refusals.length, 1, 'an empty place was taken for a backup')
    await page.getByLabel('The folder of the backup').fill(kept)
    await page.getByRole('button', { name: 'Restore the lab' }).click()
    await page.getByText('Check the logbook').first().waitFor()
    await page.getByRole('button', { name: 'Check every entry' }).click()
    await page.getByText('All is right:').waitFor()
    assert.deepEqual(await lookAtAll(page, folder, 'restored', LOOKED_AT), [])
  })
  await sameAs(third.desk, second.desk)
})

test('a picture that falls into the watched folder lands on the job that is open', async () => {
  const camera = join(home, 'camera')
  mkdirSync(camera)
  await withScreens(second.desk, async (screens) => {
    const { page } = screens
    await screens.go('setup/pictures')
    await page.getByRole('textbox', { name: 'Folder' }).fill(camera)
    await page.getByRole('button', { name: 'Watch this folder' }).click()
    await screens.settled()
    await screens.go(`bench/${lab.devices[0].job_id}/look_over`)
    copyFileSync(picture, join(camera, 'board.jpg'))
    const photos = async () => (await second.desk.call('job', { job_id: lab.devices[0].job_id })).job.photos
    assert.ok(await waitUntil(async () => (await photos()).length === 1, FLOW_MS), 'the picture was not taken in')
    await page.locator('main img').first().waitFor()
    assert.deepEqual(await lookAtAll(page, folder, 'from-the-folder', LOOKED_AT), [])
  })
})
