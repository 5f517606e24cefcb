/** The door in a plain browser: the same commands over HTTP on this machine. For development and browser tests. */
import type { Door } from './door'
import { asBackendError, BackendError, type ErrorBody } from './error'

/** Where the twin listens and the token that proves this page was opened by its owner. */
export interface LoopbackAddress {
  base: string
  token: string
}

/**
 * Reads `?desk=http://127.0.0.1:4000&token=...` (or the same after `#`) from an address.
 * Without `desk` the page's own origin is the base. Only loopback addresses are accepted: a link must not be
 * able to point this page, and what is typed in it, at another machine.
 */
export function readAddress(href: string): LoopbackAddress {
  const url = new URL(href)
  const query = new URLSearchParams(url.search)
  const hash = new URLSearchParams(url.hash.startsWith('#/') ? '' : url.hash.slice(1))
  const pick = (name: string) => hash.get(name) ?? query.get(name)
  const base = new URL(pick('desk') ?? url.origin)
  const isLoopback = ['127.0.0.1', 'localhost', '[::1]'].includes(base.hostname)
  if (!isLoopback) throw new BackendError({ code: 'not_loopback', message: `${base.origin} is not on this machine. Open the address that Waybench printed when it started.` })
  return { base: base.origin, token: pick('token') ?? '' }
}

/** Opens the loopback door. `fetcher`, `open` and `show` are given by tests. */
export function loopbackDoor(
  { base, token }: LoopbackAddress,
  fetcher: typeof fetch = (...args) => fetch(...args),
  open: (url: string) => EventSource = (url) => new EventSource(url),
  show: (url: string) => unknown = (url) => window.open(url, '_blank', 'noopener'),
): Door {
  let source: EventSource | undefined
  const withToken = (path: string) => `${base}${path}${path.includes('?') ? '&' : '?'}token=${encodeURIComponent(token)}`

  async function send<Response>(path: string, contentType: string, content: BodyInit): Promise<Response> {
    let answer: globalThis.Response
    try {
      answer = await fetcher(base + path, {
        method: 'POST',
        headers: { 'content-type': contentType, 'x-waybench-token': token },
        body: content,
      })
    } catch (cause) {
      throw asBackendError(cause)
    }
    const text = await answer.text()
    let body: unknown
    try {
      body = text === '' ? null : JSON.parse(text)
    } catch {
      throw asBackendError(new Error(`${path} answered ${answer.status} with something other than JSON`))
    }
    if (!answer.ok) throw asBackendError(body as ErrorBody)
    return body as Response
  }

  return {
    call<Response>(name: string, request: unknown): Promise<Response> {
      return send(`/call/${encodeURIComponent(name)}`, 'application/json', JSON.stringify(request ?? null))
    },

    on<Payload>(kind: string, hear: (payload: Payload) => void): () => void {
      // One connection for all kinds; a header can't be set on it, so the token goes in the address.
      source ??= open(withToken('/events'))
      const listener = (event: MessageEvent<string>) => hear(JSON.parse(event.data) as Payload)
      const stream = source
      stream.addEventListener(kind, listener as EventListener)
      return () => stream.removeEventListener(kind, listener as EventListener)
    },

    // An <img> can't send a header either.
    photoUrl(hash, size = 'whole') {
      return withToken(`/photo/${encodeURIComponent(hash)}${size === 'thumb' ? '?thumb=1' : ''}`)
    },

    putPhoto<Added>(bytes: Blob, target: unknown): Promise<Added> {
      return send(`/photo?target=${encodeURIComponent(JSON.stringify(target))}`, bytes.type || 'application/octet-stream', bytes)
    },

    checkReport<Check>(bytes: Blob): Promise<Check> {
      return send('/report-check', 'application/pdf', bytes)
    },

    // The browser shows a PDF itself.
    async openPaper(name) {
      show(withToken(`/paper/${encodeURIComponent(name)}`))
    },

    async openFile(hash) {
      let answer: globalThis.Response
      try {
        answer = await fetcher(withToken(`/photo/${encodeURIComponent(hash)}`))
      } catch (cause) {
        throw asBackendError(cause)
      }
      if (!answer.ok) throw asBackendError(new Error(`the file ${hash} answered ${answer.status}`))
      const pdf = new Blob([await answer.arrayBuffer()], { type: 'application/pdf' })
      show(URL.createObjectURL(pdf))
    },
  }
}
