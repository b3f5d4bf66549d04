import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { canonicalJson } from '../../packages/sdk/src/integrity/canonical-json.ts'
import { expectPublishedExactly, publishedAll, recordPublished, testPublished, titleOf } from '../support/published.ts'

function doubleOf(bits: unknown): number {
  const view = new DataView(new ArrayBuffer(8))
  view.setBigUint64(0, BigInt(`0x${String(bits)}`))
  return view.getFloat64(0)
}

describe('RFC 8785, Appendix B: number serialisation samples', () => {
  for (const check of publishedAll('jcs-num-')) {
    test(titleOf(check, `IEEE 754 ${String(check.inputs.ieee754)}`), () => {
      const value = doubleOf(check.inputs.ieee754)
      if (Number.isFinite(value)) {
        expectPublishedExactly(check, canonicalJson(value))
        return
      }
      // The source says "error" where we give a code, so the text is not compared.
      expect(() => canonicalJson(value)).toThrow(expect.objectContaining({ code: 'ERR_NOT_CANONICALISABLE' }))
      recordPublished({ id: check.id, family: check.family, status: check.status })
    })
  }
})

describe('RFC 8785, test data of its author: SHA-256 of the canonical form', () => {
  const inputs = {
    'jcs-arrays': '[56, {"d": true, "10": null, "1": [ ]}]',
    'jcs-french': `{"peach": "This sorting order", "p\u00e9ch\u00e9": "is wrong according to French",
      "p\u00eache": "but canonicalization MUST", "sin": "ignore locale"}`,
    'jcs-structures':
      '{"1": {"f": {"f": "hi", "F": 5}, "\\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [{"e": "yes", "E": "no"}], "A": { }}',
    'jcs-unicode': '{"Unnormalized Unicode": "A\\u030a"}',
    'jcs-values': `{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}`,
    'jcs-weird': `{"\\u20ac": "Euro Sign", "\\r": "Carriage Return", "\\u000a": "Newline", "1": "One", "\\u0080": "Control\\u007f",
      "\\ud83d\\ude02": "Smiley", "\\u00f6": "Latin Small Letter O With Diaeresis",
      "\\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}`,
  }
  for (const [id, text] of Object.entries(inputs)) {
    testPublished(id, (check) => {
      const digest = createHash('sha256')
        .update(canonicalJson(JSON.parse(text)))
        .digest('hex')
      expectPublishedExactly(check, digest)
    })
  }
})

test('RFC 8785 §3.2.3: members are sorted by UTF-16 code units, not by code points', () => {
  // U+1F600 begins with the code unit D83D, which is below FB33 although the code point is above it.
  expect(canonicalJson({ '\ufb33': 1, '\u{1f600}': 2 })).toBe('{"\u{1f600}":2,"\ufb33":1}')
})
