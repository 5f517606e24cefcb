/**
 * The door inside the window. Nearly everything is one Tauri command, `call`, which looks the name up in the command table;
 * a picture's bytes and papers in the system's viewer have commands of their own.
 */
import { invoke } from '@tauri-apps/api/core'
import { listen } from '@tauri-apps/api/event'
import type { Door } from './door'
import { asBackendError } from './error'

/** The photo protocol has its own origin, which is spelled differently where schemes can't be registered. */
function photoOrigin(): string {
  return navigator.userAgent.includes('Windows') ? 'http://photo.localhost' : 'photo://localhost'
}

/** JSON that fits into a header, which can hold visible ASCII only. */
export function headerJson(value: unknown): string {
  return JSON.stringify(value).replace(/[\u007f-\uffff]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`)
}

async function ask<Response>(command: string, words: Record<string, unknown> | Uint8Array, headers?: Record<string, string>): Promise<Response> {
  try {
    return await invoke<Response>(command, words, headers && { headers })
  } catch (cause) {
    throw asBackendError(cause)
  }
}

export const tauriDoor: Door = {
  call<Response>(name: string, request: unknown): Promise<Response> {
    return ask('call', { name, request })
  },

  on<Payload>(kind: string, hear: (payload: Payload) => void): () => void {
    let stopped = false
    const listening = listen<Payload>(kind, (event) => {
      if (!stopped) hear(event.payload)
    })
    return () => {
      stopped = true
      void listening.then((stop) => stop())
    }
  },

  photoUrl(hash, size = 'whole') {
    return `${photoOrigin()}/${encodeURIComponent(hash)}${size === 'thumb' ? '?thumb=1' : ''}`
  },

  async putPhoto<Added>(bytes: Blob, target: unknown): Promise<Added> {
    const whole = new Uint8Array(await bytes.arrayBuffer())
    return ask<Added>('put_photo', whole, { 'x-photo-target': headerJson(target) })
  },

  async checkReport<Check>(bytes: Blob): Promise<Check> {
    return ask<Check>('check_report', new Uint8Array(await bytes.arrayBuffer()))
  },

  openPaper(name) {
    return ask('open_paper', { name })
  },

  openFile(hash) {
    return ask('open_file', { hash })
  },
}
