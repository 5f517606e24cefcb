/**
 * Single letters that work only while one list has focus, such as p for pass. They are no shortcuts: a scanned label
 * begins with a letter, too, so they come here only after the scanner's listener has seen that no scan follows.
 */

export interface Single {
  key: string
  words: string
}

interface Offer {
  list: () => HTMLElement | undefined
  singles: Single[]
  take: (key: string) => void
  /** Takes the begin of a number, if the list has a use for one. */
  typed: (text: string) => boolean
}

/** The begin of a typed number; longer ones are no reading. */
const NUMBER = /^[-−+]?[\d.,]{1,11}$/

/** More letters than this at once are a held key or a scan that lost its end; neither may record anything. */
const LETTERS_MAX = 3

export class Singles {
  #offer = $state.raw<Offer | undefined>(undefined)

  /** Offers letters for as long as `list` is on screen. Returns a function that ends it. */
  offer(list: () => HTMLElement | undefined, singles: Single[], take: (key: string) => void, typed: (text: string) => boolean = () => false): () => void {
    const offer = { list, singles, take, typed }
    this.#offer = offer
    return () => {
      if (this.#offer === offer) this.#offer = undefined
    }
  }

  /** For the sheet of keys. */
  get listed(): Single[] {
    return this.#offer?.singles ?? []
  }

  /** Gives typed letters to the list, if it has focus and knows all of them. Answers whether it did. */
  take(text: string): boolean {
    const offer = this.#offer
    const list = offer?.list()
    if (!offer || !list?.contains(document.activeElement)) return false
    if (NUMBER.test(text)) return offer.typed(text)
    const letters = [...text.toLowerCase()]
    if (letters.length > LETTERS_MAX || !letters.every((letter) => offer.singles.some(({ key }) => key === letter))) return false
    letters.forEach((letter) => offer.take(letter))
    return true
  }
}

export const singles = new Singles()
