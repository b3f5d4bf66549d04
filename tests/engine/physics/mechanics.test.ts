import { describe, expect, test } from 'vitest'
import { blendStoichiometricRatio_1, lambda_1 } from '../../../packages/sdk/src/engine/physics/mixture.ts'
import { power_W, torque_N_m, tractivePower_W } from '../../../packages/sdk/src/engine/physics/power.ts'
import { totalVerticalStrapForce_N, verticalStrapForce_N } from '../../../packages/sdk/src/engine/physics/straps.ts'

const outOfRange = (path: string) => expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path })

describe('power and torque', () => {
  test('are each other’s inverse at any speed above 0', () => {
    expect(torque_N_m(power_W(87, 940), 940)).toBeCloseTo(87, 12)
    for (const speed of [0, -1, Number.NaN]) {
      expect(() => torque_N_m(1000, speed)).toThrow(outOfRange('speed_rad_per_s'))
    }
  })

  test('a force along the surface is worth force times speed', () => {
    expect(tractivePower_W(1500, 40)).toBe(60_000)
  })
})

describe('straps', () => {
  test('pull down with nothing when flat, with all of it when upright', () => {
    expect(verticalStrapForce_N(800, 0)).toBe(0)
    expect(verticalStrapForce_N(800, Math.PI / 2)).toBe(800)
    expect(totalVerticalStrapForce_N([])).toBe(0)
  })

  test('an angle in degrees, or a tension below 0, is refused', () => {
    expect(() => verticalStrapForce_N(800, 45)).toThrow(outOfRange('angle_rad'))
    expect(() => verticalStrapForce_N(800, Math.PI / 2 + 1e-9)).toThrow(outOfRange('angle_rad'))
    expect(() => verticalStrapForce_N(-1, 1)).toThrow(outOfRange('tension_N'))
  })
})

describe('mixture', () => {
  test('12.5 on the display is 0.850 on petrol and 0.887 on E10: the fuel must be known', () => {
    expect(lambda_1(12.5, blendStoichiometricRatio_1(0))).toBeCloseTo(0.85034, 5) // 12.5 / 14.7
    expect(lambda_1(12.5, blendStoichiometricRatio_1(0.1))).toBeCloseTo(0.88653, 5) // 12.5 / 14.09988
  })

  test('a share that is not a fraction, and a ratio of 0, are refused', () => {
    for (const share of [-0.01, 1.01, 10]) {
      expect(() => blendStoichiometricRatio_1(share)).toThrow(outOfRange('ethanolVolumeFraction_1'))
    }
    expect(() => lambda_1(0, 14.7)).toThrow(outOfRange('airFuelRatio_1'))
    expect(() => lambda_1(12.5, Number.NaN)).toThrow(outOfRange('airFuelRatio_1'))
  })
})
