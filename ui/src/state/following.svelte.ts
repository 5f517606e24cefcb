/** A view that is asked for when its screen opens, and again after each change that concerns it. For use while a component is set up. */
import { onMount } from 'svelte'
import type { Changed } from '../backend/generated'
import { onChanged } from './changes'
import { Live } from './live.svelte'

export function following<View>(name: string, request: unknown = {}, when: (changed: Changed) => boolean = ({ kind }) => kind === 'subjects'): Live<View> {
  const live = new Live<View>(name, request)
  onMount(() => {
    void live.refresh()
    return onChanged((changed) => when(changed) && void live.refresh())
  })
  return live
}
