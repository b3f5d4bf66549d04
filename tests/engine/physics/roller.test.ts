import { describe, expect, test } from 'vitest'
import { equivalentInertia_kg_m2, hollowCylinderMass_kg } from '../../../packages/sdk/src/engine/physics/inertia.ts'
import { localQuadratic } from '../../../packages/sdk/src/engine/physics/local-quadratic.ts'
import {
  meanRollerPower_W,
  rollerPower,
  sweepRate_rad_per_s2,
} from '../../../packages/sdk/src/engine/physics/roller.ts'

const failing = (code: string, path: string) => expect.objectContaining({ code, path })

/** Lehmer's generator: noise that is the same on every run. */
function seededNormals(count: number): Float64Array {
  let state = 12_345
  const uniform = () => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
  return Float64Array.from(
    { length: count },
    () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform()),
  )
}

const evenly = (count: number, spacing: number) => Float64Array.from({ length: count }, (_, i) => i * spacing)

describe('differentiation by local least squares', () => {
  test('is exact for a parabola, however unevenly it is sampled', () => {
    const x = Float64Array.from([0, 0.1, 0.15, 0.4, 0.55, 0.6, 0.9, 1.3, 1.35, 1.6])
    const y = x.map((t) => 3 + 2 * t - 5 * t * t)
    const { value, slope, residualVariance } = localQuadratic(x, y, 5)
    for (let i = 0; i < x.length; i++) {
      expect(value[i]).toBeCloseTo(y[i] ?? Number.NaN, 10)
      expect(slope[i]).toBeCloseTo(2 - 10 * (x[i] ?? Number.NaN), 9)
    }
    expect(residualVariance).toBeLessThan(1e-20)
  })

  test('evenly sampled, it is the filter of Savitzky and Golay: slope weights -2 -1 0 1 2 over 10, value -3 12 17 12 -3 over 35', () => {
    const y = Float64Array.from([4, 8, 15, 16, 23])
    const { value, slope } = localQuadratic(evenly(5, 1), y, 5)
    expect(slope[2]).toBeCloseTo((-2 * 4 - 8 + 16 + 2 * 23) / 10, 12)
    expect(value[2]).toBeCloseTo((-3 * 4 + 12 * 8 + 17 * 15 + 12 * 16 - 3 * 23) / 35, 12)
  })

  test('states the noise of its slope: σ over d √(N (N2 - 1) / 12)', () => {
    const { slopeVariance } = localQuadratic(evenly(31, 0.02), new Float64Array(31), 11)
    expect(slopeVariance[15]).toBeCloseTo(12 / (11 * (11 ** 2 - 1) * 0.02 ** 2), 8)
    expect(slopeVariance[0]).toBeGreaterThan(10 * (slopeVariance[15] ?? Number.NaN))
  })

  test('states how value and slope err together: at the first of five samples by -27/35 over d', () => {
    // Weights there: value (31 9 -3 -5 3)/35, slope (-54 13 40 27 -26)/70 over d; the sum of their products is -27/35.
    const { covariance } = localQuadratic(evenly(5, 0.5), new Float64Array(5), 5)
    expect(covariance[0]).toBeCloseTo(-27 / 35 / 0.5, 10)
    expect(covariance[2]).toBeCloseTo(0, 12)
  })

  test('states its bias: one sixth of the third derivative times (3 N2 - 7) d2 / 20', () => {
    const x = evenly(21, 0.1)
    const { slope } = localQuadratic(
      x,
      x.map((t) => (t - 1) ** 3),
      11,
    )
    expect(slope[10]).toBeCloseTo(((3 * 11 ** 2 - 7) * 0.1 ** 2) / 20, 12) // third derivative 6, true slope 0
  })

  test('finds the noise of a sample from what the parabolas leave', () => {
    const noise = seededNormals(4000)
    const { residualVariance } = localQuadratic(evenly(4000, 0.01), noise, 11)
    expect(residualVariance).toBeGreaterThan(0.93) // true 1; the sd of the estimate is √(2 / 4000) ≈ 0.022
    expect(residualVariance).toBeLessThan(1.07)
  })

  test.each([4, 6, 3, 5.5, Number.NaN])('a window of %f samples is refused', (window) => {
    expect(() => localQuadratic(evenly(20, 1), new Float64Array(20), window)).toThrow(
      failing('ERR_OUT_OF_RANGE', 'window'),
    )
  })

  test('too few samples, unequal lengths and a time that stands still are refused', () => {
    expect(() => localQuadratic(evenly(10, 1), new Float64Array(10), 11)).toThrow(failing('ERR_EMPTY', 'x'))
    expect(() => localQuadratic(evenly(10, 1), new Float64Array(11), 5)).toThrow(failing('ERR_LENGTH', 'y'))
    const stalled = Float64Array.from([0, 1, 2, 2, 3])
    expect(() => localQuadratic(stalled, new Float64Array(5), 5)).toThrow(failing('ERR_NOT_INCREASING', 'x'))
  })
})

describe('power from roller speed', () => {
  const time_s = evenly(1001, 0.005)
  const inertia_kg_m2 = 12
  // A pull whose acceleration falls: ω = 60 + 40 t - 2 t², P = I ω (40 - 4 t).
  const speed = (t: number) => 60 + 40 * t - 2 * t * t
  const rollerSpeed_rad_per_s = time_s.map(speed)

  test('is I α ω, and its mean agrees with the energy that the roller gained', () => {
    const { power_W } = rollerPower({ time_s, rollerSpeed_rad_per_s, inertia_kg_m2 })
    expect(power_W[400]).toBeCloseTo(12 * speed(2) * (40 - 4 * 2), 3)
    const mean_W = power_W.reduce((sum, power, i) => sum + (i === 0 || i === 1000 ? power / 2 : power), 0) / 1000
    const change = { inertia_kg_m2, from_rad_per_s: speed(0), to_rad_per_s: speed(5), duration_s: 5 }
    expect(mean_W).toBeCloseTo(meanRollerPower_W(change), 0)
  })

  test('adds what the roller itself loses', () => {
    const bare = rollerPower({ time_s, rollerSpeed_rad_per_s, inertia_kg_m2 })
    const lossPower_W = (w: number) => 3 * w
    const withLoss = rollerPower({ time_s, rollerSpeed_rad_per_s, inertia_kg_m2, lossPower_W })
    expect((withLoss.power_W[400] ?? 0) - (bare.power_W[400] ?? 0)).toBeCloseTo(3 * speed(2), 6)
  })

  test('states an uncertainty that the scatter of noisy repeats bears out', () => {
    const noise = seededNormals(1001 * 40)
    const sd_rad_per_s = 0.05
    const repeats = Array.from({ length: 40 }, (_, k) =>
      rollerPower({
        time_s,
        rollerSpeed_rad_per_s: rollerSpeed_rad_per_s.map((w, i) => w + sd_rad_per_s * (noise[k * 1001 + i] ?? 0)),
        inertia_kg_m2,
        window_samples: 21,
      }),
    )
    // 40 repeats at 45 samples, 22 apart and thus unrelated: 1,800 values, sd of their mean square 3.3 %.
    const samples = Array.from({ length: 45 }, (_, k) => 11 + 22 * k)
    const squares = samples.flatMap((i) =>
      repeats.map(({ power_W, standardUncertainty_W }) => {
        const time = time_s[i] ?? Number.NaN
        const truth = inertia_kg_m2 * speed(time) * (40 - 4 * time)
        return (((power_W[i] ?? Number.NaN) - truth) / (standardUncertainty_W[i] ?? Number.NaN)) ** 2
      }),
    )
    const meanSquare = squares.reduce((sum, square) => sum + square, 0) / squares.length
    expect(meanSquare).toBeGreaterThan(0.9)
    expect(meanSquare).toBeLessThan(1.1)
  })

  test.each([0, 4, 20, 40])('at sample %i the uncertainty follows from how each speed moves the power', (at) => {
    // A slow start with a strong pull, where speed, slope and what they share all matter.
    const time_s = evenly(41, 0.1)
    const noise = seededNormals(41)
    const recorded = time_s.map((t, i) => 2 + 15 * t + 0.1 * (noise[i] ?? 0))
    const powerAt = (speeds: Float64Array) =>
      rollerPower({ time_s, rollerSpeed_rad_per_s: speeds, inertia_kg_m2 }).power_W[at] ?? Number.NaN
    const squares = recorded.map((speed, j) => {
      const [up, down] = [speed + 1e-4, speed - 1e-4].map((moved) => powerAt(recorded.with(j, moved)))
      return (((up ?? Number.NaN) - (down ?? Number.NaN)) / 2e-4) ** 2
    })
    const { residualVariance } = localQuadratic(time_s, recorded)
    const stated = rollerPower({ time_s, rollerSpeed_rad_per_s: recorded, inertia_kg_m2 }).standardUncertainty_W[at]
    expect(stated).toBeCloseTo(Math.sqrt(residualVariance * squares.reduce((sum, square) => sum + square, 0)), 4)
  })

  test('an inertia of 0 is refused', () => {
    expect(() => rollerPower({ time_s, rollerSpeed_rad_per_s, inertia_kg_m2: 0 })).toThrow(
      failing('ERR_OUT_OF_RANGE', 'inertia_kg_m2'),
    )
  })
})

describe('sweep rate and inertia', () => {
  test('the rate of a steady sweep is its slope', () => {
    const time_s = evenly(50, 0.1)
    expect(
      sweepRate_rad_per_s2(
        time_s,
        time_s.map((t) => 300 + 45 * t),
      ),
    ).toBeCloseTo(45, 10)
    expect(() => sweepRate_rad_per_s2(evenly(1, 1), evenly(1, 1))).toThrow(failing('ERR_EMPTY', 'time_s'))
    expect(() => sweepRate_rad_per_s2(evenly(3, 1), evenly(4, 1))).toThrow(failing('ERR_LENGTH', 'speed_rad_per_s'))
  })

  test('a part that turns twice as fast counts four times', () => {
    const roller = { inertia_kg_m2: 10, turnsPerRollerTurn_1: 1 }
    expect(equivalentInertia_kg_m2([roller, { inertia_kg_m2: 0.5, turnsPerRollerTurn_1: 2 }])).toBe(12)
    expect(() => equivalentInertia_kg_m2([])).toThrow(failing('ERR_EMPTY', 'parts'))
  })

  test('a part without inertia is refused', () => {
    const part = { inertia_kg_m2: 0, turnsPerRollerTurn_1: 1 }
    expect(() => equivalentInertia_kg_m2([part])).toThrow(failing('ERR_OUT_OF_RANGE', 'inertia_kg_m2'))
  })

  test('a tube with a bore as wide as itself is refused', () => {
    const drum = { density_kg_per_m3: 7850, length_m: 1, outerRadius_m: 0.2, innerRadius_m: 0.2 }
    expect(() => hollowCylinderMass_kg(drum)).toThrow(failing('ERR_OUT_OF_RANGE', 'innerRadius_m'))
  })
})
