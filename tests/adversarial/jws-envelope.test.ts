import { describe, expect, test } from 'vitest'
import { canonicalBase64url } from '../../packages/sdk/src/integrity/base64url.ts'
import { MAX_JWS_LENGTH, readEnvelope } from '../../packages/sdk/src/integrity/jws.ts'
import { signSummary } from '../../packages/sdk/src/integrity/sign-summary.ts'
import { codeOf } from './support/bytes.ts'
import { knownSigningKey, payload } from './support/summary-fixture.ts'

const jws = await signSummary(payload, await knownSigningKey())
const [header = '', body = '', signature = ''] = jws.split('.')
const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'

/** The last digit of a part, with an unused bit set. */
function withStrayBit(part: string): string {
  const last = ALPHABET.indexOf(part.slice(-1))
  return part.slice(0, -1) + ALPHABET.charAt(last | 1)
}

describe('a signed summary has one text', () => {
  test('the text that was signed is read', () => {
    expect(codeOf(readEnvelope(jws))).toBe('accepted')
  })

  const rows: Readonly<Record<string, readonly [text: unknown, code: string]>> = {
    'bytes in place of text': [new TextEncoder().encode(jws), 'ERR_JWS_TYPE'],
    null: [null, 'ERR_JWS_TYPE'],
    'the JSON serialisation': [{ protected: header, payload: body, signature }, 'ERR_JWS_TYPE'],
    'a text object': [Object(jws), 'ERR_JWS_TYPE'],
    'a text longer than any summary': ['A'.repeat(MAX_JWS_LENGTH + 1), 'ERR_JWS_LENGTH'],
    'a text as long as any summary may be': ['A'.repeat(MAX_JWS_LENGTH), 'ERR_JWS_PARTS'],
    'the empty text': ['', 'ERR_JWS_PARTS'],
    'two parts': [`${header}.${body}`, 'ERR_JWS_PARTS'],
    'four parts': [`${jws}.${signature}`, 'ERR_JWS_PARTS'],
    'a full stop at the end': [`${jws}.`, 'ERR_JWS_PARTS'],
    'five parts, as encrypted text has': [`${jws}.a.b`, 'ERR_JWS_PARTS'],
    'a line feed at the end': [`${jws}\n`, 'ERR_JWS_ENCODING'],
    'a blank in front': [` ${jws}`, 'ERR_JWS_ENCODING'],
    'padding on the header': [`${header}=.${body}.${signature}`, 'ERR_JWS_ENCODING'],
    'padding on the signature': [`${jws}==`, 'ERR_JWS_ENCODING'],
    'the other alphabet': [`${header}.${body}.${signature.slice(0, -2)}+/`, 'ERR_JWS_ENCODING'],
    'a stray bit in the signature': [`${header}.${body}.${withStrayBit(signature)}`, 'ERR_JWS_ENCODING'],
    'an impossible length': [`${header}.${body}.${signature}AAA`, 'ERR_JWS_ENCODING'],
    'a letter outside ASCII': [`${header}.${body}.${signature.slice(0, -1)}\u212a`, 'ERR_JWS_ENCODING'],
    'no signature': [`${header}.${body}.`, 'ERR_JWS_SIGNATURE_LENGTH'],
    'a signature of 63 bytes': [`${header}.${body}.${signature.slice(0, 84)}`, 'ERR_JWS_SIGNATURE_LENGTH'],
    'a signature of 66 bytes': [`${header}.${body}.${'A'.repeat(88)}`, 'ERR_JWS_SIGNATURE_LENGTH'],
    'no header': [`.${body}.${signature}`, 'ERR_JWS_HEADER_JSON'],
  }
  for (const [says, [text, code]] of Object.entries(rows)) {
    test(`${says} is refused: ${code}`, () => expect(codeOf(readEnvelope(text))).toBe(code))
  }

  test('a stray bit can be set: two texts would stand for one signature', () => {
    expect(withStrayBit(signature)).not.toBe(signature)
    expect(Buffer.from(withStrayBit(signature), 'base64url')).toEqual(Buffer.from(signature, 'base64url'))
  })
})

test('a text of up to four digits is taken when Node writes the same text for its bytes, and only then', () => {
  const digits = [...ALPHABET]
  const texts = [
    '',
    ...digits,
    ...digits.flatMap((one) => digits.flatMap((two) => [one + two, `A${one}${two}`, `AA${one}${two}`])),
  ]
  for (const text of texts) {
    const bytes = Buffer.from(text, 'base64url')
    const isCanonical = bytes.toString('base64url') === text
    expect(canonicalBase64url(text)).toEqual(isCanonical ? Uint8Array.from(bytes) : undefined)
  }
})
