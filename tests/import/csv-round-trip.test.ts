/** A run comes back out of a CSV file as it went in, however the file is written. */
import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readCsv } from '../../packages/sdk/src/import/index.ts'

const samples = fc.array(
  fc.record({
    speed: fc.integer({ min: 10_000, max: 250_000 }).map((tenths) => tenths / 10),
    power: fc.integer({ min: -500, max: 99_999 }).map((hundredths) => hundredths / 100),
  }),
  { minLength: 3, maxLength: 40 },
)

/** A way of writing a CSV file; a comma between cells leaves the point for the fraction. */
const style = fc
  .record({
    delimiter: fc.constantFrom(';', '\t', '|', ','),
    decimal: fc.constantFrom('.', ','),
    lineEnds: fc.array(fc.constantFrom('\n', '\r\n', '\r'), { minLength: 1, maxLength: 3 }),
    preamble: fc.array(fc.constantFrom('Hall 3', '# a remark', 'Session 4', ''), { maxLength: 3 }),
    unitRow: fc.boolean(),
    isQuoted: fc.boolean(),
    isUtf16: fc.boolean(),
    hasMark: fc.boolean(),
    isSwapped: fc.boolean(),
  })
  .filter(({ delimiter, decimal }) => delimiter !== ',' || decimal === '.')

type Style = typeof style extends fc.Arbitrary<infer S> ? S : never
type Samples = typeof samples extends fc.Arbitrary<infer S> ? S : never

function written(run: Samples, each: Style): Uint8Array {
  const cell = (text: string) => (each.isQuoted ? `"${text}"` : text)
  const number = (value: number, digits: number) => cell(value.toFixed(digits).replace('.', each.decimal))
  const row = (speed: string, power: string) => (each.isSwapped ? [power, speed] : [speed, power]).join(each.delimiter)
  const lines = [
    ...each.preamble,
    row(cell('Speed'), cell('Power')),
    ...(each.unitRow ? [row('[rpm]', '[kW]')] : []),
    ...run.map(({ speed, power }) => row(number(speed, 1), number(power, 2))),
  ]
  const text = lines.map((line, k) => `${line}${each.lineEnds[k % each.lineEnds.length]}`).join('')
  return each.isUtf16
    ? utf16(`${each.hasMark ? '\ufeff' : ''}${text}`)
    : new TextEncoder().encode(`${each.hasMark ? '\ufeff' : ''}${text}`)
}

function utf16(text: string): Uint8Array {
  const view = new DataView(new ArrayBuffer(text.length * 2))
  for (let i = 0; i < text.length; i++) view.setUint16(i * 2, text.charCodeAt(i), true)
  return new Uint8Array(view.buffer)
}

describe('a CSV file of any dialect', () => {
  test('gives the numbers that were written', () => {
    fc.assert(
      fc.property(samples, style, (run, each) => {
        const { channels } = readCsv(written(run, each), {
          name: 'b1.csv',
          columns: { engineSpeed: { header: 'Speed', unit: 'rpm' }, wheelPower: { header: 'Power', unit: 'kW' } },
        })
        expect(channels.engineSpeed?.values).toEqual(run.map(({ speed }) => speed))
        expect(channels.wheelPower?.values).toEqual(run.map(({ power }) => (power === 0 ? 0 : power)))
      }),
      { numRuns: 120, seed: 20_260_502 },
    )
  })
})
