/**
 * From a scanned or typed text to the one thing it means. The backend finds; this goes there, or says in the scan
 * line what it may be. It never guesses: several meanings are offered, none says so and offers to take it in.
 */
import { asBackendError, call } from '../backend'
import { router } from './router.svelte'
import { scanLine, type Offer } from './scanline.svelte'

/** What a scan may open; the place gets the first word on it. Answers whether it took the text. */
export type PlaceTakesScan = (text: string) => Promise<boolean>

let taker: PlaceTakesScan | undefined

/** The place that is open may take scans first: a parcel being packed takes a job's tag. Returns a function that ends it. */
export function takeScans(take: PlaceTakesScan): () => void {
  taker = take
  return () => {
    if (taker === take) taker = undefined
  }
}

interface Target {
  kind: 'job' | 'parcel' | 'cell' | 'shop'
  job_id?: string
  parcel_id?: string
  cell_id?: string
  shop_id?: string
}

interface Found {
  text: string
  matches: { target: Target; words: string }[]
  sentence: string
  warning: string
  offer_take_in: boolean
}

function open(target: Target): void {
  if (target.kind === 'job' && target.job_id) router.go('bench', target.job_id)
  if (target.kind === 'parcel' && target.parcel_id) router.go('dock', target.parcel_id)
  if (target.kind === 'cell' && target.cell_id) router.go('cells', 'cell', target.cell_id)
  if (target.kind === 'shop' && target.shop_id) router.go('shops', target.shop_id)
}

/** Looks a text up and acts on the answer. `note` says where the scan was taken from, if that needs saying. */
export async function scan(text: string, note: string | null = null): Promise<void> {
  scanLine.say({ kind: 'looking', words: `Looking for ${text} …`, note })
  try {
    if (taker && (await taker(text))) return
    const found = await call<Found>('scan', { text })
    const told = [found.warning, note].filter(Boolean).join(' ') || null
    const [only] = found.matches
    if (only && found.matches.length === 1) {
      open(only.target)
      scanLine.say({ kind: 'found', words: found.sentence, note: told })
      return
    }
    const offers: Offer[] = found.matches.map((match) => ({ words: match.words, run: () => open(match.target) }))
    if (found.offer_take_in) offers.push({ words: 'Take it in as a parcel', run: () => router.go('dock', 'new', found.text) })
    scanLine.say({ kind: found.matches.length === 0 ? 'no match' : 'found', words: found.sentence, note: told, offers })
  } catch (cause) {
    scanLine.refused(asBackendError(cause).message, note)
  }
}
