import { describe, expect, test } from 'vitest'
import {
  coastDownTime_s,
  fittedResistance,
  resistance_N,
  rollerLossPower_W,
} from '../../../packages/sdk/src/engine/physics/coast-down.ts'

const resistance = { constant_N: 60, quadratic_N_s2_per_m2: 0.35 }
const coastDown = { equivalentMass_kg: 220, resistance, from_m_per_s: 30, to_m_per_s: 10 }

describe('coast-down time', () => {
  test('meets its two limiting forms without a jump', () => {
    const nearlyNoConstant = { ...resistance, constant_N: 1e-9 }
    const noConstant = { ...resistance, constant_N: 0 }
    // m / C (1 / v1 - 1 / v2) = 220 / 0.35 · (1 / 10 - 1 / 30)
    expect(coastDownTime_s({ ...coastDown, resistance: noConstant })).toBeCloseTo(41.904_761_9, 7)
    expect(coastDownTime_s({ ...coastDown, resistance: nearlyNoConstant })).toBeCloseTo(41.904_761_9, 4)

    const nearlyNoDrag = { ...resistance, quadratic_N_s2_per_m2: 1e-10 }
    const noDrag = { ...resistance, quadratic_N_s2_per_m2: 0 }
    // m (v2 - v1) / A = 220 · 20 / 60
    expect(coastDownTime_s({ ...coastDown, resistance: noDrag })).toBeCloseTo(73.333_333_3, 7)
    expect(coastDownTime_s({ ...coastDown, resistance: nearlyNoDrag })).toBeCloseTo(73.333_333_3, 4)
  })

  test('agrees with stepping the equation of motion', () => {
    let [speed, time] = [30, 0]
    for (const step = 1e-4; speed > 10; time += step) {
      const middle = speed - (resistance_N(resistance, speed) / 220) * (step / 2)
      speed -= (resistance_N(resistance, middle) / 220) * step
    }
    expect(coastDownTime_s(coastDown)).toBeCloseTo(time, 3)
  })

  test.each([
    ['a rising speed', { to_m_per_s: 31 }],
    ['no change of speed', { to_m_per_s: 30 }],
    ['a mass of 0', { equivalentMass_kg: 0 }],
    ['no resistance at all', { resistance: { constant_N: 0, quadratic_N_s2_per_m2: 0 } }],
    ['a resistance that pushes', { resistance: { constant_N: -1, quadratic_N_s2_per_m2: 0.35 } }],
    ['a stop that drag alone never reaches', { to_m_per_s: 0, resistance: { ...resistance, constant_N: 0 } }],
    ['NaN', { from_m_per_s: Number.NaN }],
  ])('%s is refused', (_, change) => {
    expect(() => coastDownTime_s({ ...coastDown, ...change })).toThrow(
      expect.objectContaining({ code: 'ERR_OUT_OF_RANGE' }),
    )
  })
})

describe('resistance from a recorded coast-down', () => {
  // v = √(A / C) tan(atan(v0 √(C / A)) - t √(A C) / m), the solution of the equation of motion.
  const [root, rate] = [Math.sqrt(60 / 0.35), Math.sqrt(60 * 0.35) / 220]
  const time_s = Float64Array.from({ length: 600 }, (_, i) => i * 0.05)
  const speed_m_per_s = time_s.map((t) => root * Math.tan(Math.atan(30 / root) - t * rate))

  test('comes back from the exact solution', () => {
    const fitted = fittedResistance({ time_s, speed_m_per_s, equivalentMass_kg: 220 })
    expect(fitted.constant_N).toBeCloseTo(60, 2)
    expect(fitted.quadratic_N_s2_per_m2).toBeCloseTo(0.35, 4)
    expect(fitted.residualSd_N).toBeLessThan(0.05)
  })

  test('a speed that does not change, and a mass of 0, are refused', () => {
    const still = new Float64Array(600).fill(20)
    expect(() => fittedResistance({ time_s, speed_m_per_s: still, equivalentMass_kg: 220 })).toThrow(
      expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path: 'speed_m_per_s' }),
    )
    expect(() => fittedResistance({ time_s, speed_m_per_s, equivalentMass_kg: 0 })).toThrow(
      expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path: 'equivalentMass_kg' }),
    )
  })

  test('the loss of a roller is its resistance times its surface speed', () => {
    // ω = 80 rad/s on r = 0.25 m: v = 20 m/s, (60 + 0.35 · 400) · 20 = 4,000 W
    expect(rollerLossPower_W(resistance, 0.25)(80)).toBeCloseTo(4000, 9)
  })
})
