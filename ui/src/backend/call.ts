/** What the generated functions call; in a file of its own, so that `index.ts` can export them. */
export { call } from './index'
