import { describe, expect, test } from 'vitest'
import { type CorrectionId, correctionIds } from '../../../packages/sdk/src/contract/corrections.ts'
import { correctedFuelDelivery_mg_per_l_cycle } from '../../../packages/sdk/src/engine/physics/correction/compression-ignition.ts'
import {
  type AppliedCorrection,
  type CorrectionConditions,
  correctionFactor,
  correctionSensitivity,
} from '../../../packages/sdk/src/engine/physics/correction/correction-factor.ts'
import { correctionStandards } from '../../../packages/sdk/src/engine/physics/correction/correction-standards.ts'
import {
  agreeingStandards,
  factorDeviation_1,
  recorrection_1,
  uncorrectedPower_W,
} from '../../../packages/sdk/src/engine/physics/correction/declared-correction.ts'

const outOfRange = (path: string) => expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path })
const air: CorrectionConditions = { stationPressure_Pa: 99_000, airTemperature_K: 298.15, relativeHumidity_1: 0 }
const dieselAir: CorrectionConditions = { ...air, fuelDelivery_mg_per_l_cycle: 50 }

function applied(standard: CorrectionId, conditions: CorrectionConditions): AppliedCorrection {
  const correction = correctionFactor(standard, conditions)
  if (correction.kind === 'factor') return correction
  throw new Error(`refused: ${correction.reason}`)
}

const inAir = (standard: CorrectionId, change: Partial<CorrectionConditions>) =>
  applied(standard, { ...dieselAir, ...change })

describe('the registry of correction standards', () => {
  test('holds exactly the ids of the contract, each under its own name', () => {
    expect(Object.keys(correctionStandards)).toEqual([...correctionIds])
    for (const id of correctionIds) expect(correctionStandards[id].id).toBe(id)
  })

  test.each(correctionIds)('%s is 1 in its reference air, on its own temperature scale', (id) => {
    const { reference, kelvinOffset_K } = correctionStandards[id]
    const airTemperature_K = (reference?.temperature_K ?? 298.15) - kelvinOffset_K + 273.15
    const { factor } = inAir(id, { stationPressure_Pa: reference?.pressure_Pa ?? 99_000, airTemperature_K })
    expect(factor).toBeCloseTo(1, 12)
  })

  test.each(correctionIds.filter((id) => id !== 'none'))('%s corrects upwards in thin and in warm air', (id) => {
    const here = inAir(id, {}).factor
    expect(inAir(id, { stationPressure_Pa: 95_000 }).factor).toBeGreaterThan(here)
    expect(inAir(id, { airTemperature_K: 308.15 }).factor).toBeGreaterThan(here)
  })

  test.each(correctionIds)('%s: humidity enters only where the pressure is the dry one', (id) => {
    const humid = inAir(id, { relativeHumidity_1: 0.8 }).factor
    const dry = inAir(id, { relativeHumidity_1: 0 }).factor
    expect(humid > dry).toBe(correctionStandards[id].pressure === 'dry')
  })

  test('the trade figure by J607 lies about 4 % above J1349 in the same air', () => {
    const ratio = applied('sae-j607', air).factor / applied('sae-j1349-jun90', air).factor
    expect(ratio).toBeCloseTo(1.0401, 4) // 101.325 / 99 · √(298.15 / 288.7056)
  })

  test('none asks nothing of the air', () => {
    const nowhere = { stationPressure_Pa: Number.NaN, airTemperature_K: Number.NaN, relativeHumidity_1: Number.NaN }
    expect(applied('none', nowhere)).toMatchObject({ factor: 1, isWithinStandard: true, left: [] })
  })

  test('a name that is not in the list is refused, also one that every object has', () => {
    for (const name of ['sae-j1349', 'toString']) {
      expect(() => correctionFactor(name as CorrectionId, air)).toThrow(outOfRange('standard'))
    }
  })
})

describe('the own range of a standard', () => {
  test.each([
    ['un-r85', 288, 308],
    ['sae-j1349-jun90', 288.15, 308.15],
    ['un-r85-ci-natural', 283, 313],
  ] as const)('%s: air at %f and %f K is inside, a step beyond is not', (id, lower, upper) => {
    const left = (airTemperature_K: number) => inAir(id, { airTemperature_K }).left
    expect(left(lower)).toEqual([])
    expect(left(upper)).toEqual([])
    expect(left(lower - 0.01)).toMatchObject([{ quantity: 'temperature', side: 'below', limit: lower, unit: 'K' }])
    expect(left(upper + 0.01)).toMatchObject([{ quantity: 'temperature', side: 'above', limit: upper, unit: 'K' }])
  })

  test('Regulation (EU) No 134/2014 says 283.2 K < T < 318.2 K: the limits themselves are outside', () => {
    const left = (airTemperature_K: number) => inAir('eu-134-2014', { airTemperature_K }).left
    expect(left(283.21)).toEqual([])
    expect(left(318.19)).toEqual([])
    expect(left(283.2)).toMatchObject([{ quantity: 'temperature', side: 'below', limit: 283.2 }])
    expect(left(318.2)).toMatchObject([{ quantity: 'temperature', side: 'above', limit: 318.2 }])
  })

  // The factor is 1.07 at 93.5726 kPa and 0.93 at 105.1718 kPa (298 K): 6 digits decide.
  test.each([
    [93_572.7, []],
    [93_570, [{ quantity: 'factor', side: 'above', limit: 1.07, unit: '1' }]],
    [105_171.7, []],
    [105_180, [{ quantity: 'factor', side: 'below', limit: 0.93, unit: '1' }]],
  ])('UN R85 at %f Pa and 298 K: the factor decides', (stationPressure_Pa, expected) => {
    const correction = inAir('un-r85', { stationPressure_Pa, airTemperature_K: 298 })
    expect(correction.left).toMatchObject(expected)
    expect(correction.isWithinStandard).toBe(expected.length === 0)
  })

  test('a factor is rounded to six digits before it meets its limit', () => {
    // 1.0700003 rounds to 1.07000 and is inside; the factor itself is given unrounded.
    const correction = inAir('un-r85', { stationPressure_Pa: 93_572.58, airTemperature_K: 298 })
    expect(correction.factor).toBeGreaterThan(1.07)
    expect(correction.isWithinStandard).toBe(true)
  })

  test('two limits left are both named', () => {
    const { left } = inAir('un-r85', { stationPressure_Pa: 88_000, airTemperature_K: 310 })
    expect(left.map(({ quantity, side }) => `${quantity} ${side}`)).toEqual([
      'factor above',
      'temperature above',
      'pressure below',
    ])
  })

  test('standards without a range of their own are never outside', () => {
    for (const id of ['sae-j607', 'din-70020'] as const) {
      expect(inAir(id, { stationPressure_Pa: 75_000, airTemperature_K: 320 }).isWithinStandard).toBe(true)
    }
  })
})

describe('where no factor may be applied', () => {
  test('boost control that compensates: no factor, and the reason', () => {
    const refused = correctionFactor('un-r85', { ...air, isBoostCompensated: true })
    expect(refused).toEqual({ kind: 'refused', standard: 'un-r85', reason: 'boost-compensated' })
    expect(correctionFactor('none', { ...air, isBoostCompensated: true }).kind).toBe('factor')
    expect(correctionFactor('un-r85', { ...air, isBoostCompensated: false }).kind).toBe('factor')
  })

  test('compression ignition without its fuel delivery: no factor, and the reason', () => {
    const refused = correctionFactor('iso-1585-ci-natural', air)
    expect(refused).toEqual({ kind: 'refused', standard: 'iso-1585-ci-natural', reason: 'fuel-delivery-missing' })
  })
})

describe('the engine factor of compression ignition', () => {
  const r85 = correctionStandards['un-r85-ci-natural'].engineFactor_1
  const iso = correctionStandards['iso-1585-ci-natural'].engineFactor_1

  test('follows the fuel delivery between its knees and is constant outside', () => {
    expect([39.99, 40, 65, 65.01].map(r85)).toEqual([0.3, expect.closeTo(0.3, 12), expect.closeTo(1.2, 12), 1.2])
    expect([37.19, 37.2, 65, 65.01].map(iso)).toEqual([0.2, expect.closeTo(0.1992, 12), expect.closeTo(1.2, 12), 1.2])
  })

  test.each([0, -1, Number.NaN])('a fuel delivery of %f is refused', (qc) => {
    expect(() => r85(qc)).toThrow(outOfRange('fuelDelivery_mg_per_l_cycle'))
  })

  test('the delivery follows from flow, displacement, speed, strokes and boost', () => {
    const flow = { fuelFlow_g_per_s: 2.5, displacement_l: 2, engineSpeed_rpm: 3000, boostRatio_1: 1 }
    // 120 000 · 2.5 / (2 · 3000) = 50; half of it for two strokes, and divided by the boost.
    expect(correctedFuelDelivery_mg_per_l_cycle({ ...flow, cycle: 'four-stroke' })).toBe(50)
    expect(correctedFuelDelivery_mg_per_l_cycle({ ...flow, cycle: 'two-stroke' })).toBe(25)
    expect(correctedFuelDelivery_mg_per_l_cycle({ ...flow, cycle: 'four-stroke', boostRatio_1: 2 })).toBe(25)
    for (const refused of [
      { boostRatio_1: 0.9 },
      { fuelFlow_g_per_s: 0 },
      { displacement_l: 0 },
      { engineSpeed_rpm: 0 },
    ]) {
      expect(() => correctedFuelDelivery_mg_per_l_cycle({ ...flow, cycle: 'four-stroke', ...refused })).toThrow(
        outOfRange('flow'),
      )
    }
  })
})

describe('sensitivity of a factor', () => {
  test.each(correctionIds)('%s: both coefficients are the slope of ln factor', (id) => {
    const here = { ...dieselAir, stationPressure_Pa: 92_000, airTemperature_K: 305 }
    const at = (change: Partial<CorrectionConditions>) => Math.log(applied(id, { ...here, ...change }).factor)
    const { perPascal, perKelvin } = correctionSensitivity(id, here)
    expect(perPascal).toBeCloseTo((at({ stationPressure_Pa: 92_010 }) - at({ stationPressure_Pa: 91_990 })) / 20, 10)
    expect(perKelvin).toBeCloseTo((at({ airTemperature_K: 305.1 }) - at({ airTemperature_K: 304.9 })) / 0.2, 8)
  })
})

describe('a declared factor', () => {
  test('undone and redone by the same standard leaves the figure alone', () => {
    expect(uncorrectedPower_W(102_000, 1.02)).toBeCloseTo(100_000, 9)
    expect(recorrection_1(1.02, 1.02)).toBe(1)
    expect(recorrection_1(1, 1.04)).toBe(1.04)
    expect(recorrection_1(1.04, 1)).toBeCloseTo(1 / 1.04, 15)
  })

  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a factor of %f cannot be undone', (factor) => {
    expect(() => uncorrectedPower_W(1, factor)).toThrow(outOfRange('appliedFactor_1'))
    expect(() => recorrection_1(1, factor)).toThrow(outOfRange('wantedFactor_1'))
  })

  test('deviates only by what half its last printed digit does not explain', () => {
    expect(factorDeviation_1({ value: 1.02, resolution: 0.01 }, 1.0249)).toBe(0)
    expect(factorDeviation_1({ value: 1.02, resolution: 0.01 }, 1.0251)).toBeCloseTo(0.0001 / 1.0251, 12)
    expect(factorDeviation_1({ value: 1.02, resolution: 0.01 }, 1.0149)).toBeCloseTo(0.0001 / 1.0149, 12)
    expect(factorDeviation_1({ value: 1.02, resolution: 0 }, 1.0251)).toBeCloseTo(0.0051 / 1.0251, 12)
  })

  test('that does not belong to its standard is recognised as another one’s', () => {
    // 1.0401 in this air is J607, whatever the printout calls it.
    expect(agreeingStandards({ value: 1.04, resolution: 0.001 }, air, 0.001)).toEqual(['sae-j607'])
    expect(agreeingStandards({ value: 1.2, resolution: 0.001 }, air, 0.001)).toEqual([])
  })
})
