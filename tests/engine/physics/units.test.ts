import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type QuantityKind, type UnitOf, units } from '../../../packages/sdk/src/contract/units.ts'
import { channelToSI, convert, fromSI, kindOf, siUnits, toSI } from '../../../packages/sdk/src/engine/physics/units.ts'

const kinds = Object.keys(units) as QuantityKind[]
const pairs = kinds.flatMap((kind) => units[kind].map((unit) => [kind, unit] as const))

describe('the unit table', () => {
  test('no word serves two kinds of quantity, or stands twice in one', () => {
    const words = pairs.map(([, unit]) => unit)
    expect(new Set(words).size).toBe(words.length)
  })

  test.each(pairs)('%s: %s is known, and of that kind', (kind, unit) => {
    expect(kindOf(unit)).toBe(kind)
  })

  test.each(kinds)('%s: one in its SI unit is one', (kind) => {
    expect(toSI(kind, { value: 1, unit: siUnits[kind] })).toBe(1)
  })
})

describe('conversion', () => {
  test.each(pairs)('%s: there and back through %s keeps twelve digits', (kind, unit) => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
        const back = fromSI(kind, toSI(kind, { value, unit } as never), unit as never).value
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * Math.max(Math.abs(value), 500))
      }),
      { seed: 1, numRuns: 50 },
    )
  })

  test('a unit to itself leaves every bit, also of a temperature', () => {
    expect(convert(0.1 + 0.2, 'kW', 'kW')).toBe(0.1 + 0.2)
    expect(convert(61.7, 'degF', 'degF')).toBe(61.7)
  })

  test('whole tyre and air pressures convert without a stray digit', () => {
    expect(convert(250, 'kPa', 'Pa')).toBe(250_000)
    expect(convert(2.5, 'bar', 'kPa')).toBe(250)
    expect(convert(1013.25, 'hPa', 'Pa')).toBe(101_325)
    expect(convert(36, 'km/h', 'm/s')).toBe(10)
    expect(convert(55, '%', '1')).toBe(0.55)
  })

  test('temperature is a point on a scale: 0 degC is 273.15 K, 32 degF is 0 degC, -40 is the same on both', () => {
    expect(convert(0, 'degC', 'K')).toBe(273.15)
    expect(convert(32, 'degF', 'degC')).toBeCloseTo(0, 12)
    expect(convert(-40, 'degF', 'degC')).toBeCloseTo(-40, 12)
  })

  test('another kind is refused, by name', () => {
    expect(() => convert(1, 'kPa', 'kW' as UnitOf<'pressure'>)).toThrow(
      expect.objectContaining({ code: 'ERR_UNIT_KIND', path: 'to' }),
    )
    expect(() => toSI('torque', { value: 1, unit: 'kW' as UnitOf<'torque'> }, '/runs/0/torque')).toThrow(
      expect.objectContaining({ code: 'ERR_UNIT_KIND', path: '/runs/0/torque' }),
    )
  })

  test.each(['bhp', '', 'Kw', 'toString', '__proto__'])('the unit %o is in no list', (unit) => {
    expect(() => convert(1, unit as 'kW', 'W')).toThrow(expect.objectContaining({ code: 'ERR_UNKNOWN_UNIT' }))
  })

  test.each([Number.NaN, Number.POSITIVE_INFINITY])('%f is no value', (value) => {
    expect(() => convert(value, 'kW', 'kW')).toThrow(expect.objectContaining({ code: 'ERR_OUT_OF_RANGE' }))
    expect(() => toSI('power', { value, unit: 'W' })).toThrow(expect.objectContaining({ code: 'ERR_OUT_OF_RANGE' }))
  })

  test('a channel converts sample by sample into a new array', () => {
    const recorded = [1, 2, 3]
    expect([...channelToSI('power', recorded, 'kW')]).toEqual([1000, 2000, 3000])
    expect(recorded).toEqual([1, 2, 3])
    expect(channelToSI('temperature', [0], 'degC')[0]).toBe(273.15)
  })
})
