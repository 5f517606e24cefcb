/** A display without a screen (Xvfb), under a free number. */
import { firstLine, start } from './processes.mjs'

const READY_MS = 15_000
/** The file descriptor on which Xvfb says its number: the first one after the three standard ones. */
const NUMBER_FD = 3

/** Starts a display of this size in pixels. Returns `{ name, stop() }`, where `name` is such as `:3`. */
export async function startDisplay({ width = 1280, height = 800 } = {}) {
  const words = ['-displayfd', String(NUMBER_FD), '-screen', '0', `${width}x${height}x24`, '-nolisten', 'tcp']
  const server = start('Xvfb', words, { pipeFd: NUMBER_FD })
  const number = await firstLine(server, 'the number of the display', READY_MS)
  return { name: `:${number}`, stop: server.stop }
}
