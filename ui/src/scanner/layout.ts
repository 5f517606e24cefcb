/**
 * What a key position types on a US keyboard, by `KeyboardEvent.code` (W3C UI Events KeyboardEvent code values).
 * A wedge scanner presses positions of one layout; a computer set to another layout reads other characters.
 */

const plain: Record<string, string> = {
  Space: ' ', Minus: '-', Equal: '=', BracketLeft: '[', BracketRight: ']', Backslash: '\\', Semicolon: ';',
  Quote: "'", Backquote: '`', Comma: ',', Period: '.', Slash: '/',
  NumpadAdd: '+', NumpadSubtract: '-', NumpadMultiply: '*', NumpadDivide: '/', NumpadDecimal: '.',
}

const shifted: Record<string, string> = {
  Space: ' ', Minus: '_', Equal: '+', BracketLeft: '{', BracketRight: '}', Backslash: '|', Semicolon: ':',
  Quote: '"', Backquote: '~', Comma: '<', Period: '>', Slash: '?',
  Digit0: ')', Digit1: '!', Digit2: '@', Digit3: '#', Digit4: '$', Digit5: '%', Digit6: '^', Digit7: '&', Digit8: '*', Digit9: '(',
}

/** Returns the character, or nothing for a position that types none. */
export function characterByCode(code: string, shift: boolean): string | undefined {
  const letter = /^Key([A-Z])$/.exec(code)?.[1]
  if (letter) return shift ? letter : letter.toLowerCase()
  if (shift && code in shifted) return shifted[code]
  return /^(?:Digit|Numpad)([0-9])$/.exec(code)?.[1] ?? plain[code]
}

/**
 * Chooses between what the keys said and what the positions say.
 * The positions win when the keys gave characters that no label here holds, or when only the positions
 * give the mark that our own labels begin with.
 */
export function chooseReading(byKey: string, byCode: string): string {
  if (byKey === byCode || byCode === '') return byKey
  const isPlain = /^[\x1d\x20-\x7e]*$/.test(byKey)
  if (!isPlain) return byCode
  const isOurs = (text: string) => /^WB:[A-Z]:/i.test(text)
  return isOurs(byCode) && !isOurs(byKey) ? byCode : byKey
}
