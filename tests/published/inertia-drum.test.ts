import { describe, test } from 'vitest'
import {
  equivalentMass_kg,
  hollowCylinderInertia_kg_m2,
  hollowCylinderMass_kg,
  solidCylinderInertia_kg_m2,
} from '../../packages/sdk/src/engine/physics/inertia.ts'
import { meanRollerPower_W, rollerPower } from '../../packages/sdk/src/engine/physics/roller.ts'
import {
  expectedNumber,
  expectPublished,
  expectWithin,
  inputOf,
  printedWithin,
  publishedAll,
  testPublished,
  titleOf,
} from '../support/published.ts'

describe('inertia of a drum', () => {
  for (const check of publishedAll('drum-solid-')) {
    test(titleOf(check), () => {
      const diameter_m = inputOf(check, 'D_m')
      const inertia = solidCylinderInertia_kg_m2(inputOf(check, 'm_kg'), diameter_m)
      expectPublished(check, inertia, { member: 'I' })
      expectPublished(check, equivalentMass_kg(inertia, diameter_m / 2), { member: 'm_eq' })
    })
  }

  testPublished('drum-hollow', (check) => {
    const drum = { density_kg_per_m3: 7850, length_m: 0.8, outerRadius_m: 0.25, innerRadius_m: 0.24 }
    const inertia = hollowCylinderInertia_kg_m2(drum)
    expectPublished(check, hollowCylinderMass_kg(drum), { member: 'm' })
    expectPublished(check, inertia, { member: 'I' })
    expectPublished(check, equivalentMass_kg(inertia, drum.outerRadius_m), { member: 'm_eq' })
  })
})

describe('power into an inertia drum: I = 10 kg m2, r = 0.25 m', () => {
  const drum = { inertia_kg_m2: 10, from_rad_per_s: 20 / 0.25, to_rad_per_s: 50 / 0.25 }

  testPublished('drum-E', (check) => expectPublished(check, meanRollerPower_W({ ...drum, duration_s: 6 })))

  testPublished('drum-constP', (check) => {
    const omega = expectedNumber(check, 'omega')
    const mean_W = meanRollerPower_W({ ...drum, to_rad_per_s: omega, duration_s: 5 })
    const missing_J = (60_000 - mean_W) * 5
    // The speed at which the mean power is 60 kW: one Newton step from the published one.
    expectPublished(check, omega + missing_J / (drum.inertia_kg_m2 * omega), { member: 'omega' })
    expectPublished(check, meanRollerPower_W({ ...drum, duration_s: 1 }) / 60_000, { member: 't' })
  })

  test('the differentiated speed of that drum gives the 60 kW back at every sample', () => {
    const time_s = Float64Array.from({ length: 561 }, (_, i) => i / 200)
    // Roller speed under constant power, in closed form: ω = √(ω0² + 2 P t / I).
    const rollerSpeed_rad_per_s = time_s.map((t) => Math.sqrt(80 ** 2 + (2 * 60_000 * t) / 10))
    const { power_W } = rollerPower({ time_s, rollerSpeed_rad_per_s, inertia_kg_m2: 10 })
    const bias = printedWithin(6e-4, 'the parabola follows the square root to 6e-4 at the first sample')
    for (const power of power_W) expectWithin(power, 60_000, bias)
  })
})
