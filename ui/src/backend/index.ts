/**
 * The only door to Rust. Screens import from here and nowhere else under `backend`;
 * nothing outside this folder imports `@tauri-apps/*` or calls `fetch`.
 */
import type { Door } from './door'
import { loopbackDoor, readAddress } from './loopback'
import { tauriDoor } from './tauri'

export type { Door } from './door'
export { BackendError, asBackendError, type ErrorBody } from './error'

const ADDRESS_KEY = 'waybench.loopback'

/** Chooses the door. The token leaves the address bar at once, and is kept for reloads of this tab only. */
function chooseDoor(): Door {
  if ('__TAURI_INTERNALS__' in window) return tauriDoor
  const address = readAddress(location.href)
  if (address.token !== '') {
    sessionStorage.setItem(ADDRESS_KEY, JSON.stringify(address))
    history.replaceState(null, '', location.pathname)
    return loopbackDoor(address)
  }
  const kept = sessionStorage.getItem(ADDRESS_KEY)
  return loopbackDoor(kept === null ? address : (JSON.parse(kept) as ReturnType<typeof readAddress>))
}

let door: Door | undefined

/** The door in use; chosen at the first need, so that tests can put their own in its place. */
function openDoor(): Door {
  door ??= chooseDoor()
  return door
}

/** Puts another door in place (tests, the gallery of parts). */
export function useDoor(other: Door): void {
  door = other
}

/** Runs one command. Rejects with a `BackendError` only. */
export function call<Response>(name: string, request: unknown = null): Promise<Response> {
  return openDoor().call<Response>(name, request)
}

/** Hears events of one kind until the returned function is called. */
export function on<Payload>(kind: string, hear: (payload: Payload) => void): () => void {
  return openDoor().on(kind, hear)
}

/** Where a picture can be loaded from. */
export function photoUrl(hash: string, size: 'whole' | 'thumb' = 'whole'): string {
  return openDoor().photoUrl(hash, size)
}

/** Takes a picture in and records it where `target` says. */
export function putPhoto<Added>(bytes: Blob, target: unknown): Promise<Added> {
  return openDoor().putPhoto<Added>(bytes, target)
}

/** Says what a report's PDF is. */
export function checkReport<Check>(bytes: Blob): Promise<Check> {
  return openDoor().checkReport<Check>(bytes)
}

/** Shows a paper that was made on this computer. */
export function openPaper(name: string): Promise<void> {
  return openDoor().openPaper(name)
}

/** Shows a kept PDF, by the hash of its bytes. */
export function openFile(hash: string): Promise<void> {
  return openDoor().openFile(hash)
}
