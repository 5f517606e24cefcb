/** Up and Down move through the links of rows on a page, as in a list on paper with a finger; Enter opens, as on any link. */
import { onMount } from 'svelte'
import { keys } from '../keys/registry.svelte'

/** The index to go to from `from`, one step up or down, stopping at both ends; nothing when there is no row. */
export function nextRow(count: number, from: number, step: 1 | -1): number | undefined {
  if (count === 0) return undefined
  if (from < 0) return step === 1 ? 0 : count - 1
  return Math.max(0, Math.min(count - 1, from + step))
}

/** Registers Up and Down for a place, for use while a component is set up. Rows are links marked with `data-row`. */
export function rowKeys(scope: string, root: () => HTMLElement | undefined = () => document.body): void {
  const move = (step: 1 | -1) => {
    const links = [...(root()?.querySelectorAll<HTMLElement>('[data-row]') ?? [])]
    const to = nextRow(links.length, links.indexOf(document.activeElement as HTMLElement), step)
    if (to === undefined) return
    links[to]?.focus()
    links[to]?.scrollIntoView({ block: 'nearest' })
  }
  onMount(() => keys.register(
    { id: `${scope}.up`, words: 'Row above', keys: ['ArrowUp'], scope, run: () => move(-1) },
    { id: `${scope}.down`, words: 'Row below', keys: ['ArrowDown'], scope, run: () => move(1) },
    // From the scan line or a filter, where the bare arrows belong to the field.
    { id: `${scope}.list`, words: 'Into the list', keys: ['Alt+ArrowDown'], scope, run: () => move(1) },
  ))
}
