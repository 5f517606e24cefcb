/** A display without a screen (Xvfb), under a free number. */
import { createInterface } from 'node:readline'
import { start } from './processes.mjs'

const READY_MS = 15_000
/** The file descriptor on which Xvfb says its number: the first one after the three standard ones. */
const NUMBER_FD = 3

/** Starts a display of this size in pixels. Returns `{ name, stop() }`, where `name` is such as `:3`. */
export async function startDisplay({ width = 1280, height = 800 } = {}) {
  const words = ['-displayfd', String(NUMBER_FD), '-screen', '0', `${width}x${height}x24`, '-nolisten', 'tcp']
  const server = start('Xvfb', words, { pipeFd: NUMBER_FD })
  const number = await firstLine(server)
  return { name: `:${number}`, stop: server.stop }
}

function firstLine(server) {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error('Xvfb did not say in time which display it serves')), READY_MS)
    const lines = createInterface({ input: server.pipe })
    lines.once('line', (line) => {
      clearTimeout(late)
      resolve(line.trim())
      // Nothing more comes; an open pipe would keep this program from ending.
      server.pipe.destroy()
    })
    lines.once('close', () => {
      clearTimeout(late)
      reject(new Error(server.ended() ?? 'Xvfb closed its pipe without a number'))
    })
  })
}
