import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  decodeChannelValues,
  encodeChannelValues,
  float64Bytes,
  readChannelValues,
} from '../../packages/sdk/src/contract/channel-values.ts'
import { codeOf } from './support/bytes.ts'

const base64 = (bytes: readonly number[]) => Buffer.from(bytes).toString('base64')
const doubles = (...values: number[]) => Buffer.from(float64Bytes(values)).toString('base64')

describe('a channel written as base64', () => {
  test('is little-endian float64: 1, -2, 0.5', () => {
    // IEEE 754: 1 = 3FF0…, -2 = C000…, 0.5 = 3FE0…; the last byte comes last.
    const bytes = [0, 0, 0, 0, 0, 0, 0xf0, 0x3f, 0, 0, 0, 0, 0, 0, 0, 0xc0, 0, 0, 0, 0, 0, 0, 0xe0, 0x3f]
    expect(decodeChannelValues(base64(bytes))).toEqual({ ok: true, values: new Float64Array([1, -2, 0.5]) })
  })

  test('comes back as it was for any number that a channel may hold, and its text is that of Node', () => {
    const value = fc.double({ noNaN: true, min: -Number.MAX_SAFE_INTEGER, max: Number.MAX_SAFE_INTEGER })
    fc.assert(
      fc.property(
        fc.array(
          value.map((each) => (each === 0 ? 0 : each)),
          { maxLength: 50 },
        ),
        (values) => {
          const text = encodeChannelValues(values)
          expect(text).toBe(Buffer.from(new Float64Array(values).buffer).toString('base64'))
          expect(decodeChannelValues(text)).toEqual({ ok: true, values: new Float64Array(values) })
          expect(readChannelValues({ values })).toEqual(readChannelValues({ base64: text }))
        },
      ),
      { numRuns: 300, seed: 5 },
    )
  })

  test('may be longer than one call takes', () => {
    const values = Float64Array.from({ length: 5000 }, (_, index) => index / 7)
    expect(decodeChannelValues(encodeChannelValues(values))).toEqual({ ok: true, values })
  })

  const refusedTexts: Readonly<Record<string, readonly [text: string, code: string]>> = {
    'missing padding': [doubles(1).replace('=', ''), 'ERR_CHANNEL_BASE64'],
    'too much padding': [`${doubles(1, 2, 3)}====`, 'ERR_CHANNEL_BASE64'],
    'padding in the middle': [`AA==${doubles(1, 2, 3)}`, 'ERR_CHANNEL_BASE64'],
    'a blank': [` ${doubles(1).slice(1)}`, 'ERR_CHANNEL_BASE64'],
    'a line feed': [`${doubles(1, 2, 3)}\n`, 'ERR_CHANNEL_BASE64'],
    'the alphabet of URLs': [doubles(2 ** 53 - 1).replaceAll('/', '_'), 'ERR_CHANNEL_BASE64'],
    'a letter outside ASCII': [`é${doubles(1).slice(1)}`, 'ERR_CHANNEL_BASE64'],
    'stray bits after one byte': ['AAAAAAAAAAB=', 'ERR_CHANNEL_BASE64'],
    'stray bits after two bytes': ['AAAAAAAAAAAAAAAAAAAAAB==', 'ERR_CHANNEL_BASE64'],
    'nine bytes': [base64(new Array(9).fill(0)), 'ERR_CHANNEL_LENGTH'],
    'seven bytes': [base64(new Array(7).fill(0)), 'ERR_CHANNEL_LENGTH'],
    NaN: [doubles(1, Number.NaN), 'ERR_CHANNEL_NOT_FINITE'],
    'NaN with a payload': [base64([1, 0, 0, 0, 0, 0, 0xf8, 0xff]), 'ERR_CHANNEL_NOT_FINITE'],
    Infinity: [doubles(Number.POSITIVE_INFINITY), 'ERR_CHANNEL_NOT_FINITE'],
    '-0': [doubles(0, -0), 'ERR_CHANNEL_NEGATIVE_ZERO'],
    '2^53': [doubles(2 ** 53), 'ERR_CHANNEL_TOO_LARGE'],
    '-1e300': [doubles(-1e300), 'ERR_CHANNEL_TOO_LARGE'],
  }
  for (const [says, [text, code]] of Object.entries(refusedTexts)) {
    test(`${says} is refused: ${code}`, () => {
      expect(decodeChannelValues(text)).toMatchObject({ ok: false, problem: { code, pointer: '/base64' } })
    })
  }

  test('the URL alphabet case does hold letters of that alphabet', () => {
    expect(doubles(2 ** 53 - 1)).toBe('////////P0M=')
  })
})

describe('a channel written as an array', () => {
  const rows: Readonly<Record<string, readonly [values: readonly unknown[], code: string, pointer: string]>> = {
    NaN: [[0, Number.NaN], 'ERR_CHANNEL_NOT_FINITE', '/values/1'],
    'a number in quotation marks': [['1'], 'ERR_CHANNEL_NOT_FINITE', '/values/0'],
    null: [[1, 2, null], 'ERR_CHANNEL_NOT_FINITE', '/values/2'],
    '-0': [[-0], 'ERR_CHANNEL_NEGATIVE_ZERO', '/values/0'],
    '2^53': [[2 ** 53], 'ERR_CHANNEL_TOO_LARGE', '/values/0'],
  }
  for (const [says, [values, code, pointer]] of Object.entries(rows)) {
    test(`${says} is refused: ${code}`, () => {
      expect(readChannelValues({ values: values as number[] })).toMatchObject({ ok: false, problem: { code, pointer } })
    })
  }

  test('2^53 - 1 and an empty list are taken', () => {
    expect(readChannelValues({ values: [2 ** 53 - 1] })).toEqual({ ok: true, values: new Float64Array([2 ** 53 - 1]) })
    expect(readChannelValues({ values: [] })).toEqual({ ok: true, values: new Float64Array() })
    expect(readChannelValues({ base64: '' })).toEqual({ ok: true, values: new Float64Array() })
  })
})

test('a channel with both forms or neither is refused', () => {
  for (const channel of [{}, { values: [1], base64: 'AAAAAAAA8D8=' }, { values: 'x' }, { base64: 1 }]) {
    expect(codeOf(readChannelValues(channel as unknown as { values: number[] }))).toBe('ERR_CHANNEL_FORM')
  }
})
