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

/** Puts the focus on the first blank of the last row that matches, once it is drawn: a row was added to be filled in. */
export async function intoLast(rows: string, page: ParentNode | undefined = document): Promise<void> {
  await tick()
  ;[...(page?.querySelectorAll(rows) ?? [])].at(-1)?.querySelector<HTMLElement>(BLANK)?.focus()
}
