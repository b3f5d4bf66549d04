import { describe, expect, test } from 'vitest'
import {
  effectiveRollingRadius_m,
  identifyGear,
  overallRatio_1,
  roadSpeed_m_per_s,
  slip_1,
  speedRatio_rad_per_m,
} from '../../../packages/sdk/src/engine/physics/gear.ts'

const gearing = { primary: 1.9, gears: [2.6, 1.9, 1.5, 1.25, 1.08, 0.96], final: 2.6 }
const circumference_m = 1.978

/** Speed ratio of a gear when slip and load make the engine turn faster by a share. */
const ratioIn = (gear: number, slip = 0) => {
  const speed = roadSpeed_m_per_s(600, overallRatio_1(gearing, gear), circumference_m) * (1 - slip)
  return speedRatio_rad_per_m(600, speed)
}

describe('gear from the speed ratio', () => {
  test.each([1, 2, 3, 4, 5, 6])('gear %i is recognised without slip and with 4 %', (gear) => {
    expect(identifyGear(ratioIn(gear), gearing, circumference_m)).toMatchObject({ gear })
    expect(identifyGear(ratioIn(gear, 0.04), gearing, circumference_m)).toMatchObject({ gear })
  })

  test('the deviation is the slip, and the runner-up tells how sure the answer is', () => {
    const { deviation_1, runnerUpDeviation_1 } = identifyGear(ratioIn(5, 0.02), gearing, circumference_m)
    expect(deviation_1).toBeCloseTo(-Math.log(0.98), 12)
    expect(runnerUpDeviation_1).toBeCloseTo(Math.log(1.08 / 1.25) - Math.log(0.98), 12) // fourth gear
    const halfway = identifyGear(ratioIn(5) * Math.sqrt(1.25 / 1.08), gearing, circumference_m)
    expect(Math.abs(halfway.deviation_1)).toBeCloseTo(Math.abs(halfway.runnerUpDeviation_1), 12)
  })

  test('a single gear has no runner-up', () => {
    const single = { primary: 1, gears: [1], final: 3 }
    expect(identifyGear(10, single, 2).runnerUpDeviation_1).toBe(Number.POSITIVE_INFINITY)
  })

  test('no gear, an unknown gear and a ratio of 0 are refused', () => {
    const code = (wanted: string) => expect.objectContaining({ code: wanted })
    expect(() => identifyGear(10, { ...gearing, gears: [] }, 2)).toThrow(code('ERR_EMPTY'))
    for (const gear of [0, 7, 1.5, Number.NaN])
      expect(() => overallRatio_1(gearing, gear)).toThrow(code('ERR_OUT_OF_RANGE'))
    for (const ratio of [0, Number.NaN]) expect(() => identifyGear(ratio, gearing, 2)).toThrow(code('ERR_OUT_OF_RANGE'))
    expect(() => speedRatio_rad_per_m(600, 0)).toThrow(code('ERR_OUT_OF_RANGE'))
  })
})

describe('slip and rolling radius', () => {
  test('slip is what the surface speed lacks against geometry', () => {
    expect(slip_1(ratioIn(4, 0.03), overallRatio_1(gearing, 4), circumference_m)).toBeCloseTo(0.03, 12)
  })

  test('the effective radius is the free one less the slip', () => {
    const radius = effectiveRollingRadius_m(ratioIn(4, 0.03), overallRatio_1(gearing, 4))
    expect(radius).toBeCloseTo((0.97 * circumference_m) / (2 * Math.PI), 12)
  })
})
