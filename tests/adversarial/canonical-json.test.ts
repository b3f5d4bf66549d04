import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { canonicalJson, canonicalJsonBytes } from '../../packages/sdk/src/integrity/canonical-json.ts'
import { parseStrictJson } from '../../packages/sdk/src/integrity/strict-json.ts'
import { writeCanonically } from './support/second-canonical-writer.ts'

function nested(depth: number): unknown {
  let value: unknown = 1
  for (let level = 0; level < depth; level += 1) value = level % 2 === 0 ? [value] : { a: value }
  return value
}

const cycle: Record<string, unknown> = {}
cycle.self = cycle

const unsayable: Readonly<Record<string, readonly [value: unknown, pointer: string]>> = {
  undefined: [undefined, ''],
  'an undefined member': [{ a: { b: undefined } }, '/a/b'],
  'an undefined element': [[1, undefined], '/1'],
  NaN: [{ a: [0, Number.NaN] }, '/a/1'],
  Infinity: [Number.POSITIVE_INFINITY, ''],
  '-Infinity': [[Number.NEGATIVE_INFINITY], '/0'],
  'a bigint': [{ n: 1n }, '/n'],
  'a symbol': [[Symbol('s')], '/0'],
  'a function': [{ f: () => 1 }, '/f'],
  'a member named by a symbol': [{ [Symbol('s')]: 1 }, ''],
  'a hole': [Object.assign(new Array(3), { 0: 1, 2: 2 }), ''],
  'an array with a named member': [Object.assign([1], { name: 2 }), ''],
  'a Date': [{ at: new Date(0) }, '/at'],
  'a Map': [{ m: new Map() }, '/m'],
  'a typed array': [new Float64Array(2), ''],
  'an object of a class': [new (class Point {})(), ''],
  'an object that inherits': [Object.create({ a: 1 }), ''],
  'a boxed number': [Object(1), ''],
  'half a surrogate pair': [['\ud83d'], '/0'],
  'half a surrogate pair in a name': [{ '\ude02': 1 }, '/\ude02'],
  'the name __proto__': [JSON.parse('{"__proto__":1}'), '/__proto__'],
  'depth 33': [nested(33), '/0/a'.repeat(16)],
  'a cycle': [cycle, '/self'.repeat(32)],
}

describe('what JSON cannot say has no canonical form', () => {
  for (const [says, [value, pointer]] of Object.entries(unsayable)) {
    test(says, () => {
      expect(() => canonicalJson(value)).toThrow(expect.objectContaining({ code: 'ERR_NOT_CANONICALISABLE', pointer }))
    })
  }

  test('a name that needs escaping is escaped in the pointer', () => {
    expect(() => canonicalJson({ 'a/b~c': undefined })).toThrow(expect.objectContaining({ pointer: '/a~1b~0c' }))
  })
})

describe('what JSON can say has one canonical form', () => {
  test('depth 32 is written', () => {
    expect(canonicalJson(nested(32))).toBe(writeCanonically(nested(32)))
  })

  test('an object without prototype, and a member called toJSON, are written', () => {
    const bare: Record<string, unknown> = Object.create(null)
    bare.toJSON = 'no function'
    expect(canonicalJson(bare)).toBe('{"toJSON":"no function"}')
  })

  test('a getter is read once', () => {
    let reads = 0
    const shifty = {
      get value() {
        reads += 1
        return reads
      },
    }
    expect(canonicalJson(shifty)).toBe('{"value":1}')
  })

  test('the bytes are the UTF-8 of the text', () => {
    expect(Buffer.from(canonicalJsonBytes({ ä: '\u{1f527}' })).toString('utf8')).toBe('{"ä":"\u{1f527}"}')
  })

  test('-0 is written 0, as RFC 8785 says', () => {
    expect(canonicalJson([-0])).toBe('[0]')
  })
})

describe('a second writer, made from the text of the RFC, agrees', () => {
  const name = fc.string({ unit: 'binary', maxLength: 6 }).filter((text) => text !== '__proto__')
  const { tree } = fc.letrec<{ tree: unknown }>((tie) => ({
    tree: fc.oneof(
      { maxDepth: 4 },
      fc.constantFrom(null, true, false),
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer(),
      fc.string({ unit: 'binary' }),
      fc.array(tie('tree'), { maxLength: 5 }),
      fc.dictionary(name, tie('tree'), { maxKeys: 6 }),
    ),
  }))

  test('on 2,000 documents', () => {
    fc.assert(
      fc.property(tree, (value) => {
        expect(canonicalJson(value)).toBe(writeCanonically(value))
      }),
      { numRuns: 2000, seed: 2 },
    )
  })

  test('on 20,000 numbers of every magnitude, by their bits', () => {
    const bits = fc.bigInt({ min: 0n, max: 2n ** 64n - 1n })
    fc.assert(
      fc.property(bits, (word) => {
        const view = new DataView(new ArrayBuffer(8))
        view.setBigUint64(0, word)
        const value = view.getFloat64(0)
        fc.pre(Number.isFinite(value))
        expect(canonicalJson(value)).toBe(writeCanonically(value))
      }),
      { numRuns: 20_000, seed: 3 },
    )
  })

  test('and what was written is read back and written alike, when its numbers are within reach', () => {
    fc.assert(
      fc.property(tree, (value) => {
        const text = canonicalJson(value)
        const read = parseStrictJson(text)
        if (read.ok) expect(canonicalJson(read.value)).toBe(text)
        else expect(read.problem.code).toBe('ERR_JSON_NUMBER_UNSAFE')
      }),
      { numRuns: 1000, seed: 4 },
    )
  })
})
