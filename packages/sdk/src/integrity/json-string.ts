import { JsonFault } from './json-fault.ts'

const SHORT_ESCAPES = '"\\/bfnrt'

/**
 * Position after the string whose opening quotation mark is at `start`.
 *
 * @throws JsonFault when the string does not end, holds a control character, a wrong escape or half a surrogate pair.
 */
export function scanString(text: string, start: number): number {
  let at = start + 1
  for (;;) {
    const code = text.charCodeAt(at)
    if (code === 0x22) return at + 1
    if (code === 0x5c || (code & 0xf800) === 0xd800) at = scanUnit(text, at)
    else if (code >= 0x20) at += 1
    else throw unreadable(text, at)
  }
}

/** Position after an escape or a surrogate pair, however its halves are written. */
function scanUnit(text: string, start: number): number {
  const first = unitAt(text, start)
  if ((first.unit & 0xf800) !== 0xd800) return first.end
  const second = unitAt(text, first.end)
  const isPair = first.unit < 0xdc00 && second.unit >= 0xdc00 && second.unit <= 0xdfff
  if (!isPair) throw new JsonFault('ERR_JSON_LONE_SURROGATE', 'the string holds half a surrogate pair')
  return second.end
}

/** The UTF-16 code unit written at `at`, plain or escaped, and the position after it. */
function unitAt(text: string, at: number): { readonly unit: number; readonly end: number } {
  const code = text.charCodeAt(at)
  if (code !== 0x5c) return { unit: code, end: at + 1 }
  const letter = text.charAt(at + 1)
  if (letter === 'u') {
    const digits = text.slice(at + 2, at + 6)
    if (/^[0-9a-fA-F]{4}$/.test(digits)) return { unit: Number.parseInt(digits, 16), end: at + 6 }
  } else if (letter !== '' && SHORT_ESCAPES.includes(letter)) {
    return { unit: 0, end: at + 2 }
  }
  throw new JsonFault('ERR_JSON_SYNTAX', 'the string holds an unknown escape')
}

function unreadable(text: string, at: number): JsonFault {
  const isEnd = at >= text.length
  return new JsonFault('ERR_JSON_SYNTAX', isEnd ? 'the string does not end' : 'the string holds a control character')
}
