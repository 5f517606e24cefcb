/** What must hold on every page that is looked at: nothing that axe finds, nothing cut off, nothing wider than the screen. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { within } from './processes.mjs'

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** The rules of WCAG 2.0 to 2.2 (W3C Recommendations), levels A and AA, by axe-core's own tags. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

/** Fractions of a pixel are rounded differently for an element and for its content. */
const SLACK_PX = 1

const NODES_SHOWN = 3

/** Each step of a look is done within a second or two; a machine that compiles beside it takes far longer. */
const STEP_MS = 30_000

/** Everything that axe finds on a page: a sentence for each rule that is broken. `more` are tags of further rules. */
export async function axeFaults(page, more = []) {
  // Evaluated, not added as a script: the page's own content security policy stays in force.
  await page.evaluate(axeSource)
  const { violations } = await page.evaluate((rules) => globalThis.axe.run({ runOnly: rules }), [...RULES, ...more])
  return violations.map(({ id, help, nodes }) => {
    const where = nodes.slice(0, NODES_SHOWN).map((node) => `${node.target.join(' ')} (${node.html.slice(0, 120)})`)
    const more = nodes.length > NODES_SHOWN ? ` and ${nodes.length - NODES_SHOWN} more` : ''
    return `${id}: ${help}, at ${where.join('; ')}${more}`
  })
}

/** Every text that a person can't read to its end, and whatever makes the page wider than the screen. */
export function cutOffFaults(page) {
  return page.evaluate((slack) => {
    const faults = []
    const name = (element) => {
      const text = element.textContent.trim().replace(/\s+/g, ' ').slice(0, 60)
      const sign = element.id ? `#${element.id}` : [...element.classList].slice(0, 2).map((word) => `.${word}`).join('')
      return `<${element.localName}${sign}> "${text}"`
    }
    // Text only for screen readers is cut to a pixel on purpose.
    const isShown = (element) => {
      const { width, height } = element.getBoundingClientRect()
      return width > 2 && height > 2 && element.checkVisibility({ visibilityProperty: true, opacityProperty: true })
    }
    const hasOwnText = (element) => [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim() !== '')
    const page = document.documentElement
    const tooWide = page.scrollWidth - page.clientWidth
    if (tooWide > slack) faults.push(`the page is ${tooWide} px wider than the screen`)
    for (const element of document.querySelectorAll('body *')) {
      if (!isShown(element)) continue
      // What is typed in a field moves with the caret.
      if (element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement) continue
      const { overflowX, overflowY } = getComputedStyle(element)
      const hides = (overflow) => overflow === 'hidden' || overflow === 'clip'
      if (hides(overflowX) && element.scrollWidth > element.clientWidth + slack) {
        faults.push(`${name(element)} hides ${element.scrollWidth - element.clientWidth} px at its right`)
      }
      if (hides(overflowY) && element.scrollHeight > element.clientHeight + slack) {
        faults.push(`${name(element)} hides ${element.scrollHeight - element.clientHeight} px at its bottom`)
      }
      const isClosed = element instanceof HTMLButtonElement || element instanceof HTMLSelectElement
      if (isClosed && element.scrollWidth > element.clientWidth + slack) faults.push(`the words of ${name(element)} are wider than it is`)
      if (!hasOwnText(element)) continue
      const scrolls = (ancestor) => ancestor !== null
        && (['auto', 'scroll'].includes(getComputedStyle(ancestor).overflowX) || scrolls(ancestor.parentElement))
      const { right } = element.getBoundingClientRect()
      if (right > page.clientWidth + slack && !scrolls(element)) faults.push(`${name(element)} runs ${Math.ceil(right - page.clientWidth)} px out of the screen`)
    }
    return faults
  }, SLACK_PX)
}

/**
 * Every target inside `root` that is smaller than `min` px, each in a sentence. The target of a radio button or a tick is the
 * label around it, and what only screen readers are given is none.
 */
export function smallTargets(page, root, min) {
  return page.evaluate(([root, min]) => {
    const all = [...document.querySelectorAll(root)].flatMap((each) => [...each.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')])
    const targets = new Set(all.map((element) => (element.matches('input[type=radio], input[type=checkbox]') ? (element.closest('label') ?? element) : element)))
    const faults = []
    for (const target of targets) {
      const { width, height } = target.getBoundingClientRect()
      // A field for files is worked by the button beside it.
      if (width <= 2 || height <= 2 || !target.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue
      // Pixels of layout are fractions; what is rounded away is no smaller for a finger.
      if (Math.round(width) >= min && Math.round(height) >= min) continue
      const name = (target.getAttribute('aria-label') ?? target.textContent).trim().replace(/\s+/g, ' ').slice(0, 60)
      faults.push(`the target <${target.localName}> "${name || target.id}" is ${Math.round(width)} × ${Math.round(height)} px, under ${min}`)
    }
    return faults
  }, [root, min])
}

/** A sentence when the focus can't be seen where it is now. */
export function focusFault(page) {
  return page.evaluate(() => {
    const focused = document.activeElement
    if (focused === null || focused === document.body) return 'nothing has the focus'
    const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(focused)
    const isSeen = (outlineStyle !== 'none' && parseFloat(outlineWidth) > 0) || boxShadow !== 'none'
    const text = (focused.getAttribute('aria-label') ?? focused.textContent).trim().slice(0, 60)
    return isSeen ? null : `the focus on <${focused.localName}> "${text}" can't be seen`
  })
}

/** Keeps a picture of the page as `NAME.png` and returns what is wrong with it, each sentence beginning with the name. */
export async function lookAt(page, folder, name, { fullPage = false, rules = [] } = {}) {
  const step = (what, work) => within(STEP_MS, `${name}: ${what}`, work)
  await step('loading the fonts', page.evaluate(async () => { await document.fonts.ready }))
  await step('taking the picture', page.screenshot({ path: join(folder, `${name}.png`), fullPage, timeout: STEP_MS }))
  const faults = [...await step('axe', axeFaults(page, rules)), ...await step('looking for what is cut off', cutOffFaults(page))]
  return faults.map((fault) => `${name}: ${fault}`)
}

/**
 * Looks at the page in every size, light and dark. `extra` is a further check of its own: given the page and its width, it
 * returns sentences.
 */
export async function lookAtAll(page, folder, name, sizes, { extra = () => [], ...options } = {}) {
  const faults = []
  for (const { width, height } of sizes) {
    await page.setViewportSize({ width, height })
    for (const colorScheme of ['light', 'dark']) {
      await page.emulateMedia({ colorScheme })
      const title = `${name}-${width}-${colorScheme}`
      faults.push(...await lookAt(page, folder, title, options))
      if (colorScheme === 'light') faults.push(...(await extra(page, width)).map((fault) => `${title}: ${fault}`))
    }
  }
  return faults
}
