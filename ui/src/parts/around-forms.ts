/** What a sheet that is laid over the page gives the forms inside it: the way back, to stand beside their main button. */
import { getContext, setContext } from 'svelte'

const KEY = Symbol('around forms')

export interface AroundForms {
  /** A form is inside; called again when it has gone. */
  entered: () => () => void
  back: () => void
}

export const aroundForms = (around: AroundForms): AroundForms => setContext(KEY, around)

/** Nothing, for a form on a page. */
export const whatIsAround = (): AroundForms | undefined => getContext<AroundForms | undefined>(KEY)
