/**
 * The moment before a person's action is sent. Whoever offers a way back from it notes then what was known; an event
 * about the action can arrive before its answer does, so afterwards is too late.
 */
const hooks = new Set<() => void>()

/** Notes something before each action until the returned function is called. */
export function beforeActions(note: () => void): () => void {
  hooks.add(note)
  return () => void hooks.delete(note)
}

/** An action is about to be sent. */
export function actionStarts(): void {
  hooks.forEach((note) => note())
}
