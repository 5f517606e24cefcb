/** Papers: shown in the system's viewer, or sent to a printer of this desktop. */
import { openFile, openPaper } from '../backend'
import { printPaper, type Asked, type Printed } from '../backend/generated'

/** Shows a paper in the system's viewer. */
export function openAsked(paper: Asked): Promise<void> {
  return paper.kind === 'made' ? openPaper(paper.name) : openFile(paper.file)
}

/** Sends a paper to the printer that is chosen for its kind. */
export function printAsked(paper: Asked, copies = 1): Promise<Printed> {
  return printPaper({ paper, copies })
}

/** What became of it, as one or two sentences. */
export function printedWords({ printer, doubt }: Printed): string {
  return `Sent to ${printer}.${doubt === '' ? '' : ` ${doubt}`}`
}

/** What Ctrl+P prints: the paper that came onto the page last, never the screen. */
const prints: (() => void)[] = []

/** Has Ctrl+P print this; returns a function that takes it off again. */
export function inFront(print: () => void): () => void {
  prints.push(print)
  return () => {
    prints.splice(prints.indexOf(print), 1)
  }
}

export function printInFront(): void {
  prints.at(-1)?.()
}

export function hasPaper(): boolean {
  return prints.length > 0
}
