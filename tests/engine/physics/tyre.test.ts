import { describe, expect, test } from 'vitest'
import { freeDiameter_m, parseTyreSize, warmedTyrePressure_Pa } from '../../../packages/sdk/src/engine/physics/tyre.ts'
import {
  indexLoad_kg,
  isSpeedSymbol,
  symbolSpeed_m_per_s,
} from '../../../packages/sdk/src/engine/physics/tyre-service.ts'

const millimetres = (text: string) => {
  const size = parseTyreSize(text)
  return size.kind === 'size' ? Math.round(freeDiameter_m(size) * 10_000) / 10 : 'unreadable'
}

describe('size of a tyre', () => {
  // D = 25.4 d + 2 W A / 100
  test.each([
    ['180/55ZR17', 629.8],
    ['180/55 ZR 17', 629.8],
    ['180/55 zr17 m/c 73w', 629.8],
    ['190/50ZR17', 621.8],
    ['160/60R17', 623.8],
    ['130/90-16', 640.4],
    ['150/80B16', 646.4],
    ['205/55 R16 91V', 631.9],
    ['3.50-18', 635.0],
    ['4.00 H 18', 660.4],
  ])('%s is %f mm high', (text, diameter) => {
    expect(millimetres(text)).toBe(diameter)
  })

  test.each(['', 'MT90B16', '180/55', '180/55ZR', '180/55ZR175', 'a tyre', '5.5/180R17'])(
    '%o is not read, and says so',
    (text) => {
      expect(parseTyreSize(text)).toEqual({ kind: 'unreadable', text })
    },
  )
})

describe('service of a tyre', () => {
  // From memory: H 210, V 240, W 270 km/h.
  test.each([
    ['H', 210],
    ['V', 240],
    ['W', 270],
  ] as const)('symbol %s carries its load up to %f km/h [MEMORY: trade table]', (symbol, speed) => {
    expect(symbolSpeed_m_per_s(symbol) * 3.6).toBeCloseTo(speed, 9)
  })

  test('a letter that is no speed symbol is not one', () => {
    expect(isSpeedSymbol('W')).toBe(true)
    for (const text of ['I', 'w', '', 'toString', 'ZR']) expect(isSpeedSymbol(text)).toBe(false)
  })

  test.each([
    [30, 106],
    [58, 236],
    [69, 325],
    [73, 365],
    [75, 387],
    [78, 425],
    [100, 800],
  ])('load index %i is %i kg [MEMORY: trade table]', (index, load) => {
    expect(indexLoad_kg(index)).toBe(load)
  })

  test.each([29, 101, 58.5, Number.NaN])('load index %f is refused', (index) => {
    expect(() => indexLoad_kg(index)).toThrow(expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path: 'loadIndex' }))
  })

  test('a tyre at its own temperature keeps its pressure; at 0 K it is refused', () => {
    const tyre = { gaugePressure_Pa: 250_000, fromTemperature_K: 293.15, stationPressure_Pa: 98_000 }
    expect(warmedTyrePressure_Pa({ ...tyre, toTemperature_K: 293.15 })).toBeCloseTo(250_000, 6)
    expect(() => warmedTyrePressure_Pa({ ...tyre, toTemperature_K: 0 })).toThrow(
      expect.objectContaining({ code: 'ERR_OUT_OF_RANGE' }),
    )
  })
})
