import { JsonFault } from './json-fault.ts'

/** A literal with at most so many digits before the point, and no exponent above 0, is below 2^53. */
const SAFE_INTEGER_DIGITS = 15

/** A literal no longer than this cannot underflow, nor with an exponent down to -99: 10^-300 is a normal float64. */
const SAFE_LITERAL_LENGTH = 200

/**
 * Position after the number that begins at `start`.
 *
 * Most literals are settled by counting digits; the others are converted and looked at.
 *
 * @throws JsonFault when the literal is no JSON number, or no float64 says exactly what it means.
 */
export function scanNumber(text: string, start: number): number {
  const isNegative = text.charCodeAt(start) === 0x2d
  const integerStart = isNegative ? start + 1 : start
  const integerEnd = scanInteger(text, integerStart)

  let end = integerEnd
  if (text.charCodeAt(end) === 0x2e) end = scanDigits(text, end + 1)
  const exponentMark = text.charCodeAt(end) | 0x20
  const exponentStart = end + 1
  if (exponentMark === 0x65) end = scanExponent(text, exponentStart)

  const isSettled =
    (exponentMark !== 0x65 || (text.charCodeAt(exponentStart) === 0x2d && end - exponentStart <= 3)) &&
    integerEnd - integerStart <= SAFE_INTEGER_DIGITS &&
    end - start <= SAFE_LITERAL_LENGTH &&
    !(isNegative && text.charCodeAt(integerStart) === 0x30)
  if (!isSettled) checkLiteral(text.slice(start, end))
  return end
}

function scanInteger(text: string, start: number): number {
  const end = scanDigits(text, start)
  if (end - start > 1 && text.charCodeAt(start) === 0x30) {
    throw new JsonFault('ERR_JSON_SYNTAX', 'a number may not begin with a needless zero')
  }
  return end
}

function scanExponent(text: string, start: number): number {
  const sign = text.charCodeAt(start)
  return scanDigits(text, sign === 0x2b || sign === 0x2d ? start + 1 : start)
}

function scanDigits(text: string, start: number): number {
  let at = start
  let code = text.charCodeAt(at)
  while (code >= 0x30 && code <= 0x39) {
    at += 1
    code = text.charCodeAt(at)
  }
  if (at === start) throw missingDigit(text, at)
  return at
}

function missingDigit(text: string, at: number): JsonFault {
  if (text.startsWith('Infinity', at)) return notFinite()
  return new JsonFault('ERR_JSON_SYNTAX', 'a digit is missing')
}

/** The fault of a text that writes NaN or Infinity. */
export function notFinite(): JsonFault {
  return new JsonFault('ERR_JSON_NOT_FINITE', 'NaN and Infinity are not JSON; leave the member out')
}

function checkLiteral(literal: string): void {
  const value = Number(literal)
  if (!Number.isFinite(value)) throw new JsonFault('ERR_JSON_NUMBER_OVERFLOW', 'the number is beyond float64')
  if (Math.abs(value) > Number.MAX_SAFE_INTEGER) {
    throw new JsonFault('ERR_JSON_NUMBER_UNSAFE', 'the number is 2^53 or more in magnitude and may not be exact')
  }
  if (value !== 0) return
  if (/^[^eE]*[1-9]/.test(literal)) throw new JsonFault('ERR_JSON_NUMBER_UNDERFLOW', 'float64 turns the number into 0')
  if (literal.startsWith('-')) throw new JsonFault('ERR_JSON_NEGATIVE_ZERO', 'write 0 instead of a negative zero')
}
