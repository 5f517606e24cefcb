/** The door inside the window: one Tauri command, `call`, which looks the name up in the command table. */
import { invoke } from '@tauri-apps/api/core'
import { listen } from '@tauri-apps/api/event'
import type { Door } from './door'
import { asBackendError } from './error'

/** The photo protocol has its own origin, which is spelled differently where schemes can't be registered. */
function photoOrigin(): string {
  return navigator.userAgent.includes('Windows') ? 'http://photo.localhost' : 'photo://localhost'
}

export const tauriDoor: Door = {
  async call<Response>(name: string, request: unknown): Promise<Response> {
    try {
      return await invoke<Response>('call', { name, request })
    } catch (cause) {
      throw asBackendError(cause)
    }
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
}
