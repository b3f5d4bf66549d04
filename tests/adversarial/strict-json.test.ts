import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { parseStrictJson } from '../../packages/sdk/src/integrity/strict-json.ts'
import { codeOf, fromHex, fromText } from './support/bytes.ts'

interface Row {
  readonly says: string
  readonly text: string
  readonly code: string
  readonly pointer: string
}

const nested = (depth: number) => '['.repeat(depth) + ']'.repeat(depth)
const nestedObjects = (depth: number) => `${'{"a":'.repeat(depth)}1${'}'.repeat(depth)}`

const refusedTexts: readonly Row[] = [
  { says: 'two equal names', text: '{"a":1,"a":2}', code: 'ERR_JSON_DUPLICATE_NAME', pointer: '/a' },
  {
    says: 'two equal names deep inside',
    text: '{"x":[0,{"a":1,"b":2,"a":1}]}',
    code: 'ERR_JSON_DUPLICATE_NAME',
    pointer: '/x/1/a',
  },
  {
    says: 'two names that are equal once escapes are resolved',
    text: '{"a":1,"\\u0061":2}',
    code: 'ERR_JSON_DUPLICATE_NAME',
    pointer: '/a',
  },
  {
    says: 'a doubled name that needs escaping in a pointer',
    text: '{"a/b~":1,"a/b~":2}',
    code: 'ERR_JSON_DUPLICATE_NAME',
    pointer: '/a~1b~0',
  },
  {
    says: 'the name __proto__',
    text: '{"a":{"__proto__":{}}}',
    code: 'ERR_JSON_FORBIDDEN_NAME',
    pointer: '/a/__proto__',
  },
  {
    says: 'the name __proto__, escaped',
    text: '{"\\u005f_proto__":1}',
    code: 'ERR_JSON_FORBIDDEN_NAME',
    pointer: '/__proto__',
  },
  { says: 'NaN', text: '{"humidity":NaN}', code: 'ERR_JSON_NOT_FINITE', pointer: '/humidity' },
  { says: 'Infinity', text: '[1,Infinity]', code: 'ERR_JSON_NOT_FINITE', pointer: '/1' },
  { says: '-Infinity', text: '[-Infinity]', code: 'ERR_JSON_NOT_FINITE', pointer: '/0' },
  { says: '1e400', text: '{"v":[0,1e400]}', code: 'ERR_JSON_NUMBER_OVERFLOW', pointer: '/v/1' },
  { says: '400 digits', text: `[${'9'.repeat(400)}]`, code: 'ERR_JSON_NUMBER_OVERFLOW', pointer: '/0' },
  { says: '1e-400', text: '[1e-400]', code: 'ERR_JSON_NUMBER_UNDERFLOW', pointer: '/0' },
  { says: '-1e-400', text: '[-1e-400]', code: 'ERR_JSON_NUMBER_UNDERFLOW', pointer: '/0' },
  {
    says: 'a long fraction that is read as 0',
    text: `[0.${'0'.repeat(400)}1]`,
    code: 'ERR_JSON_NUMBER_UNDERFLOW',
    pointer: '/0',
  },
  { says: '-0', text: '{"v":-0}', code: 'ERR_JSON_NEGATIVE_ZERO', pointer: '/v' },
  { says: '-0 before a comma and a digit', text: '[-0,5]', code: 'ERR_JSON_NEGATIVE_ZERO', pointer: '/0' },
  { says: '-0.0', text: '[-0.0]', code: 'ERR_JSON_NEGATIVE_ZERO', pointer: '/0' },
  { says: '-0e5', text: '[-0e5]', code: 'ERR_JSON_NEGATIVE_ZERO', pointer: '/0' },
  { says: '-0.00 of many digits', text: `[-0.${'0'.repeat(500)}]`, code: 'ERR_JSON_NEGATIVE_ZERO', pointer: '/0' },
  { says: '2^53', text: '[9007199254740992]', code: 'ERR_JSON_NUMBER_UNSAFE', pointer: '/0' },
  { says: '2^53 + 1', text: '[9007199254740993]', code: 'ERR_JSON_NUMBER_UNSAFE', pointer: '/0' },
  { says: '-2^53', text: '[-9007199254740992]', code: 'ERR_JSON_NUMBER_UNSAFE', pointer: '/0' },
  { says: '2^53 by exponent', text: '[9007199254740992e0]', code: 'ERR_JSON_NUMBER_UNSAFE', pointer: '/0' },
  { says: '1e17', text: '[1e17]', code: 'ERR_JSON_NUMBER_UNSAFE', pointer: '/0' },
  { says: 'an escaped high surrogate alone', text: '["\\ud83d"]', code: 'ERR_JSON_LONE_SURROGATE', pointer: '/0' },
  { says: 'an escaped low surrogate alone', text: '["\\ude02"]', code: 'ERR_JSON_LONE_SURROGATE', pointer: '/0' },
  {
    says: 'two low surrogates',
    text: '["\\udc00\\udc00"]',
    code: 'ERR_JSON_LONE_SURROGATE',
    pointer: '/0',
  },
  {
    says: 'two high surrogates',
    text: '["\\udbff\\udbff"]',
    code: 'ERR_JSON_LONE_SURROGATE',
    pointer: '/0',
  },
  {
    says: 'a high surrogate before the first unit above the low ones',
    text: '["\\ud800\\ue000"]',
    code: 'ERR_JSON_LONE_SURROGATE',
    pointer: '/0',
  },
  {
    says: 'surrogates the wrong way round',
    text: '["\\ude02\\ud83d"]',
    code: 'ERR_JSON_LONE_SURROGATE',
    pointer: '/0',
  },
  { says: 'a high surrogate before a letter', text: '["\\ud83dx"]', code: 'ERR_JSON_LONE_SURROGATE', pointer: '/0' },
  {
    says: 'a high surrogate before another escape',
    text: '["\\ud83d\\n"]',
    code: 'ERR_JSON_LONE_SURROGATE',
    pointer: '/0',
  },
  { says: 'half a pair in a name', text: '{"\\ud83d":1}', code: 'ERR_JSON_LONE_SURROGATE', pointer: '' },
  { says: 'depth 33', text: nested(33), code: 'ERR_JSON_DEPTH', pointer: '/0'.repeat(32) },
  { says: 'depth 33 of objects', text: nestedObjects(33), code: 'ERR_JSON_DEPTH', pointer: '/a'.repeat(32) },
  { says: '100,000 brackets', text: '['.repeat(100_000), code: 'ERR_JSON_DEPTH', pointer: '/0'.repeat(32) },
  { says: 'text after the value', text: '{} {}', code: 'ERR_JSON_TRAILING_TEXT', pointer: '' },
  { says: 'a comment after the value', text: '1 // one', code: 'ERR_JSON_TRAILING_TEXT', pointer: '' },
  { says: 'a NUL after the value', text: '1\u0000', code: 'ERR_JSON_TRAILING_TEXT', pointer: '' },
  { says: 'nothing', text: '', code: 'ERR_JSON_SYNTAX', pointer: '' },
  { says: 'blanks only', text: ' \n', code: 'ERR_JSON_SYNTAX', pointer: '' },
  { says: 'a comma too many', text: '[1,]', code: 'ERR_JSON_SYNTAX', pointer: '/1' },
  { says: 'a comma too many in an object', text: '{"a":1,}', code: 'ERR_JSON_SYNTAX', pointer: '' },
  { says: 'a missing comma', text: '[1 2]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a missing colon', text: '{"a" 1}', code: 'ERR_JSON_SYNTAX', pointer: '/a' },
  { says: 'a name without quotation marks', text: '{a:1}', code: 'ERR_JSON_SYNTAX', pointer: '' },
  { says: 'single quotation marks', text: "['a']", code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'an array that does not end', text: '[1', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a string that does not end', text: '["a', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a string that ends inside an escape', text: '["a\\', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'an unknown escape', text: '["\\x41"]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'an escape with a blank', text: '["\\u 041"]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a line feed inside a string', text: '{"a":["x","a\nb"]}', code: 'ERR_JSON_SYNTAX', pointer: '/a/1' },
  { says: 'a leading zero', text: '[01]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a leading plus', text: '[+1]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a leading point', text: '[.5]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a trailing point', text: '[5.]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'an empty exponent', text: '[1e]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a minus alone', text: '[-]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'hexadecimal', text: '[0x10]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a capital letter', text: '[True]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'undefined', text: '[undefined]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
  { says: 'a no-break space', text: '[\u00a01]', code: 'ERR_JSON_SYNTAX', pointer: '/0' },
]

describe('text that has no one meaning is refused, with a pointer', () => {
  for (const { says, text, code, pointer } of refusedTexts) {
    test(`${says}: ${code} at '${pointer.slice(0, 20)}'`, () => {
      for (const source of [text, fromText(text)]) {
        const outcome = parseStrictJson(source)
        expect(outcome).toMatchObject({ ok: false, problem: { code, pointer } })
      }
    })
  }
})

describe('bytes that are not plain UTF-8 are refused', () => {
  const rows = {
    'a byte order mark': ['efbbbf7b7d', 'ERR_JSON_BOM'],
    'a byte order mark of UTF-16': ['fffe7b007d00', 'ERR_JSON_ENCODING'],
    'a stray continuation byte': ['5b2280225d', 'ERR_JSON_ENCODING'],
    'an overlong slash': ['5b22c0af225d', 'ERR_JSON_ENCODING'],
    'half a surrogate pair in UTF-8': ['5b22eda0bd225d', 'ERR_JSON_ENCODING'],
    'a code point above U+10FFFF': ['5b22f4908080225d', 'ERR_JSON_ENCODING'],
    'a character cut short': ['5b22e282225d', 'ERR_JSON_ENCODING'],
    'UTF-16 without a mark': ['7b007d00', 'ERR_JSON_SYNTAX'],
  }
  for (const [says, [hex = '', code]] of Object.entries(rows)) {
    test(`${says}: ${code}`, () => expect(codeOf(parseStrictJson(fromHex(hex)))).toBe(code))
  }

  test('a byte order mark in decoded text: ERR_JSON_BOM', () => {
    expect(codeOf(parseStrictJson('\ufeff{}'))).toBe('ERR_JSON_BOM')
  })

  test('half a surrogate pair in decoded text: ERR_JSON_LONE_SURROGATE', () => {
    expect(codeOf(parseStrictJson('["\ud83d"]'))).toBe('ERR_JSON_LONE_SURROGATE')
    expect(codeOf(parseStrictJson('["\ud83d\\ude02"]'))).toBe('accepted')
  })
})

describe('text just inside the limits is read', () => {
  const texts = [
    '9007199254740991',
    '-9007199254740991',
    '9007199254740990.5',
    '1e15',
    '0',
    '0.0',
    '0e7',
    '-1',
    '-0.5',
    '-0.05',
    '5e-324',
    '-5E-324',
    '2.2250738585072014e-308',
    '1E+2',
    `0.${'1'.repeat(600)}`,
    '"\\ud83d\\ude02\\/\\"\\\\\\b\\f\\n\\r\\t"',
    '" \u007f\u2028"',
    '"\\ud800\\udc00 \\udbff\\udfff \\ud7ff \\ue000"',
    '{"constructor":1,"toString":2,"proto":3,"":4}',
    ' { "a" : [ 1 , { } , [ ] , null , true , false ] } \r\n\t',
    nested(32),
    nestedObjects(32),
  ]
  for (const text of texts) {
    test(text.slice(0, 60), () => {
      for (const source of [text, fromText(text)]) {
        expect(parseStrictJson(source)).toEqual({ ok: true, value: JSON.parse(text) })
      }
    })
  }

  test('a smaller depth can be asked for', () => {
    expect(codeOf(parseStrictJson('[[1]]', { maxDepth: 2 }))).toBe('accepted')
    expect(codeOf(parseStrictJson('[[1]]', { maxDepth: 1 }))).toBe('ERR_JSON_DEPTH')
    expect(codeOf(parseStrictJson('1', { maxDepth: 0 }))).toBe('accepted')
  })
})

describe('numbers, whatever follows them', () => {
  const digits = (most: number) => fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: 1, maxLength: most })
  const literal = fc
    .record({
      sign: fc.constantFrom('', '-'),
      whole: fc.oneof(fc.constant('0'), digits(20)),
      fraction: fc.oneof(fc.constant(''), digits(12), digits(320)),
      exponent: fc.oneof(
        fc.constant(''),
        digits(4).map((text) => `e-${text}`),
        digits(4).map((text) => `E${text}`),
      ),
    })
    .map(({ sign, whole, fraction, exponent }) => `${sign}${whole}${fraction === '' ? '' : `.${fraction}`}${exponent}`)

  /** The rule as it is written down, with nothing settled early. */
  function isTaken(text: string): boolean {
    if (!/^-?(0|[1-9]\d*)(\.\d+)?([eE]-?\d+)?$/.test(text)) return false
    const value = Number(text)
    if (!(Math.abs(value) <= Number.MAX_SAFE_INTEGER)) return false
    return value !== 0 || !(text.startsWith('-') || /^[^eE]*[1-9]/.test(text))
  }

  test.each([',5]', ']', ' ]', '\n,0.5]'])('before %j', (rest) => {
    fc.assert(
      fc.property(literal, (text) => {
        expect(parseStrictJson(`[${text}${rest}`).ok).toBe(isTaken(text))
      }),
      { numRuns: 3000, seed: 1 },
    )
  })
})

describe('parts', () => {
  test('objects, arrays and names can be limited, and values are not counted', () => {
    const text = '{"a":[1,2,3,4,5],"b":{}}'
    expect(codeOf(parseStrictJson(text, { maxParts: 5 }))).toBe('accepted')
    expect(parseStrictJson(text, { maxParts: 4 })).toMatchObject({
      problem: { code: 'ERR_JSON_TOO_MANY_PARTS', pointer: '/b' },
    })
  })

  test('a text that has to be read again, for what is inside its strings, is counted anew', () => {
    const bytes = new TextEncoder().encode('{"a":"\u0007"}')
    expect(parseStrictJson(bytes, { maxParts: 2 })).toMatchObject({ problem: { code: 'ERR_JSON_SYNTAX' } })
  })
})

describe('against JSON.parse', () => {
  const plain = fc.jsonValue({ maxDepth: 5 }).filter((value) => !/[\ud800-\udfff]/.test(JSON.stringify(value)))

  test('whatever JSON.stringify writes is read alike, unless a number is out of range or a name is forbidden', () => {
    fc.assert(
      fc.property(plain, fc.integer({ min: 0, max: 3 }), (value, indent) => {
        const text = JSON.stringify(value, null, indent)
        for (const source of [text, fromText(text)]) {
          const outcome = parseStrictJson(source)
          if (outcome.ok) expect(outcome.value).toEqual(JSON.parse(text))
          else expect(outcome.problem.code).toMatch(/^ERR_JSON_(NUMBER_UNSAFE|FORBIDDEN_NAME)$/)
        }
      }),
      { numRuns: 500, seed: 1 },
    )
  })

  test('a text with any one character replaced, doubled or dropped is never read when JSON.parse refuses it', () => {
    const text = '{"a":[1.5e3,-2,"x\\n\\u00e9",true,null],"b":{"c":{}}}'
    for (let at = 0; at < text.length; at += 1) {
      const [before, character, after] = [text.slice(0, at), text.charAt(at), text.slice(at + 1)]
      for (const put of ['', character + character, '"', '\\', '{', ']', ',', '0', 'e', '-', '.', ' ', '\u0001']) {
        const mutant = before + put + after
        for (const source of [mutant, fromText(mutant)]) {
          const outcome = parseStrictJson(source)
          if (outcome.ok) expect(outcome.value).toEqual(JSON.parse(mutant))
        }
      }
    }
  })
})
