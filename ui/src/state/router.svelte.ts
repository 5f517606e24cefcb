/** Which place of the lab is open, kept in the part of the address after `#`: `#/bench/7K3M2Q9XT/before?test=charging`. */

export interface Route {
  /** First part: dock, rack, bench ... */
  place: string
  /** The parts after it. */
  rest: string[]
  query: Record<string, string>
}

export function parseRoute(hash: string, home = 'dock'): Route {
  const [path = '', query = ''] = hash.replace(/^#?\/?/, '').split('?')
  const parts = path.split('/').filter(Boolean).map((part) => {
    try {
      return decodeURIComponent(part)
    } catch {
      return part
    }
  })
  return { place: parts[0] ?? home, rest: parts.slice(1), query: Object.fromEntries(new URLSearchParams(query)) }
}

/** Writes a route as a link. */
export function linkTo(place: string, ...rest: string[]): string {
  return `#/${[place, ...rest].map(encodeURIComponent).join('/')}`
}

/** Writes a route with a query as a link. */
export function linkWith(query: Record<string, string>, place: string, ...rest: string[]): string {
  const text = new URLSearchParams(Object.entries(query).filter(([, value]) => value !== '')).toString()
  return linkTo(place, ...rest) + (text === '' ? '' : `?${text}`)
}

export class Router {
  #route = $state.raw<Route>(parseRoute(''))

  get route(): Route {
    return this.#route
  }

  /** Follows the address until the returned function is called. */
  start(): () => void {
    const follow = () => {
      this.#route = parseRoute(location.hash)
    }
    follow()
    window.addEventListener('hashchange', follow)
    return () => window.removeEventListener('hashchange', follow)
  }

  go(place: string, ...rest: string[]): void {
    location.hash = linkTo(place, ...rest)
  }

  /** Puts another address in place of this one, so that going back does not lead here again. */
  replace(link: string): void {
    history.replaceState(null, '', link)
    this.#route = parseRoute(location.hash)
  }
}

export const router = new Router()
