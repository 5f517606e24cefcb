/** Where the shop's agreement stands, in words. */
import type { Agreement } from '../../backend/generated'
import { answerWay } from '../../say/words'

export function agreementWords(agreement: Agreement): string {
  switch (agreement.kind) {
    case 'no_quote': return 'no price was named yet'
    case 'waiting': return 'the shop has not answered yet'
    case 'asked': return `the shop asks: ${agreement.question}`
    case 'agreed': return `agreed ${answerWay[agreement.way]}`
    case 'refused': return 'refused: it goes back unrepaired, with outcome declined'
  }
}
