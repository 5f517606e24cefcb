/** From anywhere on a page into its forms by one key, as a hand goes to the next blank of a paper form. It changes nothing. */
import { tick } from 'svelte'

const BLANK = 'input:not([type=hidden], [type=file]), textarea, select'

/** What can take the focus in a form, in the order of the page: of a group of radio buttons, the one that is chosen. */
function blanks(form: HTMLFormElement): HTMLElement[] {
  return [...form.querySelectorAll<HTMLInputElement>(BLANK)].filter((blank) => {
    if (blank.disabled || blank.closest('details:not([open])')) return false
    if (blank.type !== 'radio' || blank.checked) return true
    const group = [...form.querySelectorAll<HTMLInputElement>('input[type=radio]')].filter(({ name }) => name === blank.name)
    return !group.some(({ checked }) => checked) && group[0] === blank
  })
}

/** Puts the focus on the first blank of the first form of `page`; from inside a form, on that of the next. Answers whether there is one. */
export function intoForm(page: HTMLElement | undefined): boolean {
  const firsts = [...(page?.querySelectorAll('form') ?? [])].map((form) => ({ form, first: blanks(form)[0] })).filter(({ first }) => first)
  const here = firsts.findIndex(({ form }) => form.contains(document.activeElement))
  const next = firsts[(here + 1) % Math.max(1, firsts.length)]?.first
  next?.focus()
  next?.scrollIntoView({ block: 'center' })
  return next !== undefined
}

/** Takes over what the form that lies open offers, else the first of `page` that offers something, and leaves the focus in its first blank. */
export async function takeOver(page: HTMLElement | undefined): Promise<void> {
  const offers = (within: Element | null | undefined) => within?.querySelector<HTMLElement>('[data-takes-over]')
  const offer = offers(document.activeElement?.closest('form')) ?? offers(page)
  const form = offer?.closest('form')
  offer?.click()
  await tick()
  const first = form && blanks(form)[0]
  first?.focus()
  first?.scrollIntoView({ block: 'center' })
}

/** Presses what adds something to the form that lies open, else to the first of `page` that has such a thing. */
export function addInForm(what: string, page: HTMLElement | undefined): void {
  const found = (within: Element | null | undefined) => within?.querySelector<HTMLElement>(`[data-adds=${what}]`)
  ;(found(document.activeElement?.closest('form')) ?? found(page))?.click()
}

/** Puts the focus on the first blank of the last row that matches, once it is drawn: a row was added to be filled in. */
export async function intoLast(rows: string, page: ParentNode | undefined = document): Promise<void> {
  await tick()
  ;[...(page?.querySelectorAll(rows) ?? [])].at(-1)?.querySelector<HTMLElement>(BLANK)?.focus()
}
