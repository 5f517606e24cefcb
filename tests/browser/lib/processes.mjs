/**
 * Programs that run beside a test, each in a process group of its own, and none of which outlives it.
 *
 * A webview or a browser is many processes, and one that is left behind keeps the output of the test run open, so that
 * whoever reads that waits for ever. Therefore nothing here inherits our output, and groups are ended, not processes.
 */
import { spawn } from 'node:child_process'
import { closeSync, openSync, readdirSync, readFileSync } from 'node:fs'
import { createInterface } from 'node:readline'
import { setTimeout as sleep } from 'node:timers/promises'

const GRACE_MS = 5_000
const LOOK_AGAIN_MS = 25

/** Process group ids of everything that runs now. */
const groups = new Set()

function forceAll() {
  for (const group of groups) signal(group, 'SIGKILL')
}

process.on('exit', forceAll)
for (const [name, number] of [['SIGINT', 2], ['SIGTERM', 15], ['SIGHUP', 1]]) {
  process.on(name, () => process.exit(128 + number))
}

function signal(group, name) {
  try {
    process.kill(-group, name)
  } catch (error) {
    // The group has ended by itself.
    if (error.code !== 'ESRCH') throw error
  }
}

/**
 * The processes of a group that still run, each with the name of its program (proc(5): `id (name) state parent group`).
 * Ended ones that nobody has collected (state Z) do not count.
 */
export function membersOf(group) {
  return readdirSync('/proc').filter((name) => /^\d+$/.test(name)).flatMap((id) => {
    try {
      const stat = readFileSync(`/proc/${id}/stat`, 'utf8')
      const [, name, state, itsGroup] = stat.match(/^\d+ \((.*)\) (\S) \d+ (\d+)/s)
      return Number(itsGroup) === group && state !== 'Z' ? [{ id: Number(id), name }] : []
    } catch {
      // It ended while we looked.
      return []
    }
  })
}

/**
 * Starts a program. Its output goes to `logPath`. With `pipeFd`, the test can read what the program writes there;
 * with `openInput`, its input stays open and empty, for programs that end when it does. Returns `{ group, pipe, ended(), stop() }`.
 */
export function start(program, words, { env = {}, logPath = '/dev/null', pipeFd, openInput = false } = {}) {
  const log = openSync(logPath, 'a')
  const stdio = [openInput ? 'pipe' : 'ignore', log, log]
  if (pipeFd !== undefined) stdio[pipeFd] = 'pipe'
  const child = spawn(program, words, { detached: true, stdio, env: { ...process.env, ...env } })
  closeSync(log)
  let failure = null
  child.on('error', (error) => { failure = error })
  const group = child.pid
  if (group !== undefined) groups.add(group)
  // The test may end while this still runs; it must not be kept waiting for it.
  child.unref()
  child.stdin?.unref?.()
  return {
    group,
    pipe: pipeFd === undefined ? null : child.stdio[pipeFd],
    /** Why it no longer runs; null while it does. */
    ended() {
      if (failure) return `${program} could not be started: ${failure.message}`
      if (child.exitCode !== null) return `${program} ended with code ${child.exitCode}`
      return child.signalCode === null ? null : `${program} was ended by ${child.signalCode}`
    },
    /** Ends the whole group: politely, and after a while by force. */
    async stop() {
      if (group === undefined) return
      signal(group, 'SIGTERM')
      await waitUntil(() => membersOf(group).length === 0, GRACE_MS)
      signal(group, 'SIGKILL')
      groups.delete(group)
    },
  }
}

/** The first line that a program started with `pipeFd` writes there. */
export function firstLine(program, what, timeoutMs) {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`waited ${timeoutMs} ms in vain for ${what}`)), timeoutMs)
    const lines = createInterface({ input: program.pipe })
    lines.once('line', (line) => {
      clearTimeout(late)
      resolve(line.trim())
      // What comes later is read and thrown away, so that the writer never blocks; it must not keep this program running.
      program.pipe.resume()
      program.pipe.unref?.()
    })
    lines.once('close', () => {
      clearTimeout(late)
      reject(new Error(program.ended() ?? `the pipe was closed before ${what} came`))
    })
  })
}

/** Waits until `probe` gives something true and returns that; null when the time is over. */
export async function waitUntil(probe, timeoutMs) {
  const end = Date.now() + timeoutMs
  for (;;) {
    const found = await probe()
    if (found) return found
    if (Date.now() >= end) return null
    await sleep(LOOK_AGAIN_MS)
  }
}

/** The result of `work`, or an error that names `what` when it does not come in time. What hangs inside a browser never says so itself. */
export async function within(timeoutMs, what, work) {
  let late
  const limit = new Promise((_, reject) => { late = setTimeout(() => reject(new Error(`${what} took longer than ${timeoutMs} ms`)), timeoutMs) })
  try {
    return await Promise.race([work, limit])
  } finally {
    clearTimeout(late)
  }
}
