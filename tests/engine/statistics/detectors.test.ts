import { describe, expect, test } from 'vitest'
import { clippedRange } from '../../../packages/sdk/src/engine/statistics/detectors/clipped-range.ts'
import { correctionFactors } from '../../../packages/sdk/src/engine/statistics/detectors/correction-factors.ts'
import { countedRuns } from '../../../packages/sdk/src/engine/statistics/detectors/counted-runs.ts'
import { curveSmoothing } from '../../../packages/sdk/src/engine/statistics/detectors/curve-smoothing.ts'
import type { ComparedCurves } from '../../../packages/sdk/src/engine/statistics/detectors/detection.ts'
import { duplicateLimit, duplicateRuns } from '../../../packages/sdk/src/engine/statistics/detectors/duplicate-runs.ts'
import {
  leanStarvation,
  powerLossStarvation,
} from '../../../packages/sdk/src/engine/statistics/detectors/fuel-starvation.ts'
import { gearInUse } from '../../../packages/sdk/src/engine/statistics/detectors/gear-in-use.ts'
import { heatSoak, heatSoakLimit_K } from '../../../packages/sdk/src/engine/statistics/detectors/heat-soak.ts'
import { intakeAir } from '../../../packages/sdk/src/engine/statistics/detectors/intake-air.ts'
import { mixtureTrace } from '../../../packages/sdk/src/engine/statistics/detectors/mixture-trace.ts'
import { noiseScale } from '../../../packages/sdk/src/engine/statistics/detectors/noise-scale.ts'
import { outlyingRuns } from '../../../packages/sdk/src/engine/statistics/detectors/outlying-runs.ts'
import { runOrder } from '../../../packages/sdk/src/engine/statistics/detectors/run-order.ts'
import { sessionDrift } from '../../../packages/sdk/src/engine/statistics/detectors/session-drift.ts'
import { slipWithinRun } from '../../../packages/sdk/src/engine/statistics/detectors/slip-within-run.ts'
import { traceQuality } from '../../../packages/sdk/src/engine/statistics/detectors/trace-quality.ts'
import {
  RATIO_WHERE_SILENT,
  tyreAndStraps,
} from '../../../packages/sdk/src/engine/statistics/detectors/tyre-and-straps.ts'
import { NOTHING_DECLARED } from '../../../packages/sdk/src/engine/statistics/facility-record.ts'

const engineSpeed_rpm = Float64Array.from({ length: 101 }, (_, i) => 4000 + 50 * i)
const course = (speed: number) => 40 + speed / 150

/** Curves that are equal but for a factor each, in one mounting. */
function scaled(factors: readonly number[], sides: readonly (0 | 1)[]): ComparedCurves {
  const curves = factors.map((factor) => engineSpeed_rpm.map((speed) => factor * course(speed)))
  return { engineSpeed_rpm, raw: curves, smooth: curves, sides, mountings: sides.map(() => 'm') }
}

/** Noise sizes of a facility with g = 0.4 %, l = 0.3 %, 8 degrees of freedom. */
const scale = { dof: 8, globalRelSd: 0.004, localRelSd: 0.003, sessionCorrelation_rpm: 200, isFromSession: false }

/** Runs with a constant engine speed over roller speed of their own. */
const traceWith = (ratio: number) => ({
  engineSpeed_rpm,
  rollerSpeed_m_per_s: engineSpeed_rpm.map((speed) => speed / ratio),
})

describe('limits are held at the limit and broken just above it', () => {
  test.each([
    [8, false],
    [8.0001, true],
  ])('intake air %d K warmer', (difference, isBroken) => {
    expect(intakeAir([0, 0, difference, difference], [0, 0, 1, 1])).toMatchObject({ limit: 8, isBroken, runs: [] })
  })

  test.each([
    [4, false],
    [4.0001, true],
  ])('engine %d K hotter with two runs per side', (difference, isBroken) => {
    expect(heatSoak([90, 90, 90 + difference, 90 + difference], [0, 0, 1, 1], false).isBroken).toBe(isBroken)
  })

  test('one run on a side, or a registered plan, lowers the engine-temperature limit from 4 to 3', () => {
    expect(heatSoakLimit_K([0, 0, 1, 1], false)).toBe(4)
    expect(heatSoakLimit_K([0, 0, 1, 1], true)).toBe(3)
    expect(heatSoakLimit_K([0, 1], false)).toBeCloseTo(3 * Math.SQRT2, 14)
    expect(heatSoakLimit_K([0, 1, 1], false)).toBeCloseTo(3 * Math.sqrt(1.5), 14)
  })

  test.each([
    [1.002, []],
    [1.00201, [1]],
    [0.998, []],
    [0.99799, [1]],
  ])('a factor %d times the recomputed one', (ratio, runs) => {
    expect(correctionFactors([1.01, 1.01 * ratio], [1.01, 1.01])).toMatchObject({
      limit: 0.002,
      isBroken: runs.length > 0,
      runs,
    })
  })

  test.each([
    [0.03, false],
    [0.03001, true],
  ])('speed ratios %d apart in their logarithm', (shift, isBroken) => {
    expect(gearInUse([traceWith(100), traceWith(100 * Math.exp(shift))], [0, 1]).isBroken).toBe(isBroken)
    expect(gearInUse([traceWith(100), traceWith(100 * Math.exp(shift)), traceWith(100)], [0, 0, 1]).isBroken).toBe(
      isBroken,
    )
  })

  test.each([
    [500, []],
    [500.01, [1]],
  ])('a run that ends %d rpm early', (loss, runs) => {
    const found = clippedRange([
      { first_rpm: 3000, last_rpm: 11_000 },
      { first_rpm: 3100, last_rpm: 11_000 - loss },
    ])
    expect(found.flatMap((each) => each.runs)).toEqual(runs)
  })
})

describe('accounting and order', () => {
  test('six numbers, five of them accounted for: one is missing; a number given twice counts once', () => {
    expect(countedRuns(11, 16, [11, 12, 13, 15, 16])).toMatchObject({ observed: 1, isBroken: true })
    expect(countedRuns(11, 13, [11, 12, 12, 13])).toMatchObject({ observed: 0, isBroken: false })
  })

  test('a run that starts with or before the one ahead is out of order', () => {
    expect(runOrder([0, 100, 200])).toMatchObject({ observed: 0, isBroken: false })
    expect(runOrder([0, 100, 100, 90, 95]).runs).toEqual([2, 3])
  })
})

describe('noise scale', () => {
  const noisy = scaled([1, 1.06, 1, 1.06], [0, 0, 1, 1])

  test('a recorded repeatability rules, however loud the session', () => {
    const record = { ...NOTHING_DECLARED, repeatRelSd: 0.004, repeatDof: 8 }
    expect(noiseScale(noisy, record)).toMatchObject({
      dof: 8,
      globalRelSd: 0.004,
      localRelSd: 0.003,
      isFromSession: false,
    })
  })

  test('without one a loud session sets the scale: the median pair difference over 0.6745 √2', () => {
    // Both pairs differ by 6 % of 1, over the mean 1.03 of all four.
    const found = noiseScale(noisy, NOTHING_DECLARED)
    expect(found).toMatchObject({ dof: 4, isFromSession: true, localRelSd: 0.003 })
    expect(found.globalRelSd).toBeCloseTo(0.06 / 1.03 / (0.6745 * Math.SQRT2), 12)
  })

  test('a quiet session, or single runs, leave the usual sizes', () => {
    expect(noiseScale(scaled([1, 1.01, 1, 1.01], [0, 0, 1, 1]), NOTHING_DECLARED)).toMatchObject({
      globalRelSd: 0.005,
      isFromSession: false,
    })
    expect(noiseScale(scaled([1, 1.06], [0, 1]), NOTHING_DECLARED)).toMatchObject({
      globalRelSd: 0.005,
      sessionCorrelation_rpm: 200,
    })
  })
})

describe('outliers and drift', () => {
  test('of two runs that disagree both are named, of three the odd one', () => {
    expect(outlyingRuns(scaled([1, 1.05], [0, 0]), scale).map(({ runs }) => runs)).toEqual([[0, 1]])
    expect(outlyingRuns(scaled([1, 1.05, 1.001], [0, 0, 0]), scale).map(({ runs }) => runs)).toEqual([[1]])
  })

  test('a single run has nothing to be held against', () => {
    expect(outlyingRuns(scaled([1, 1.05], [0, 1]), scale)).toEqual([])
  })

  test('the limit is shared out over all runs', () => {
    expect(
      outlyingRuns(scaled([1, 1, 1, 1, 1], [0, 0, 1, 1, 1]), scale).map(({ limit, isBroken }) => [limit, isBroken]),
    ).toEqual([
      [0.002, false],
      [0.002, false],
    ])
  })

  test('a steady fall of 1 % per run is a trend, equal runs are none, one run per side allows no test', () => {
    const t = Float64Array.of(0, 1, 2, 3)
    expect(sessionDrift(scaled([1, 0.99, 0.98, 0.97], [0, 0, 0, 0]), t, scale)?.isBroken).toBe(true)
    expect(sessionDrift(scaled([1, 1, 1, 1], [0, 0, 0, 0]), t, scale)).toMatchObject({ observed: 1, isBroken: false })
    expect(sessionDrift(scaled([1, 1], [0, 1]), Float64Array.of(0, 1), scale)).toBeNull()
  })
})

describe('fuelling', () => {
  const top = (speed: number) => Math.max(0, (speed - 8000) / 1000)
  const starved = (loss: number) => engineSpeed_rpm.map((speed) => course(speed) * (1 - loss * top(speed)))
  const curves = (last: Float64Array): ComparedCurves => {
    const smooth = [starved(0), starved(0), last]
    return { engineSpeed_rpm, raw: smooth, smooth, sides: [0, 0, 0], mountings: ['m', 'm', 'm'] }
  }
  const lean = (rise: number) => [0, 0, rise].map((own) => engineSpeed_rpm.map((speed) => 0.9 + own * top(speed)))

  test('lean and weak at the top is starvation; lean alone or weak alone is not', () => {
    expect(leanStarvation(curves(starved(0.06)), lean(0.08)).runs).toEqual([2])
    expect(leanStarvation(curves(starved(0)), lean(0.08)).isBroken).toBe(false)
    expect(leanStarvation(curves(starved(0.06)), lean(0)).isBroken).toBe(false)
  })

  test('without lambda a loss beyond the others of the side tells; five local sds where these are more than 2 %', () => {
    expect(powerLossStarvation(curves(starved(0.06)), scale)).toMatchObject({ limit: 0.02, runs: [2] })
    expect(powerLossStarvation(curves(starved(0.06)), { ...scale, localRelSd: 0.02 })).toMatchObject({
      limit: 0.1,
      isBroken: false,
    })
  })

  test('one run per side cannot tell', () => {
    const pair = scaled([1, 1], [0, 1])
    expect(powerLossStarvation(pair, scale)).toBeNull()
  })

  test('300 rpm above 0.95 are lean, 250 rpm are not; above 1.00 they are too lean', () => {
    const excursion = (points: number, level: number) =>
      mixtureTrace(engineSpeed_rpm.map((_, i) => (i >= 40 && i < 40 + points ? level : 0.88)))
    expect(excursion(7, 0.96)).toMatchObject({ isLean: true, isTooLean: false })
    expect(excursion(6, 0.96)).toMatchObject({ isLean: false, isTooLean: false })
    expect(excursion(7, 0.95)).toMatchObject({ isLean: false })
    expect(excursion(7, 1.01)).toMatchObject({ isLean: true, isTooLean: true })
    expect(excursion(0, 1).dispersion).toBeCloseTo(0, 12)
  })
})

describe('drive tyre and straps', () => {
  const loaded = (shift: number, slip: number) => {
    const power_W = engineSpeed_rpm.map((speed) => 745.7 * course(speed))
    const ratio = engineSpeed_rpm.map(
      (speed, i) => 100 * Math.exp(shift + (slip * (power_W[i] ?? 0)) / (2800 * (speed / 100))),
    )
    return { engineSpeed_rpm, rollerSpeed_m_per_s: engineSpeed_rpm.map((speed, i) => speed / (ratio[i] ?? 1)), power_W }
  }
  const sides = [0, 0, 1, 1] as const
  const twoMountings = ['a', 'a', 'b', 'b']
  const compare = (shift: number, slip: number, mountings = twoMountings) =>
    tyreAndStraps(
      [loaded(0, 0.02), loaded(0, 0.02), loaded(shift, 0.02 + slip), loaded(shift, 0.02 + slip)],
      { sides, mountings },
      RATIO_WHERE_SILENT,
    )

  test('equal sides pass, and 1.1 % of rolling radius does not', () => {
    expect(compare(0, 0)).toMatchObject({ isBroken: false, limit: 0.005 })
    expect(compare(0.011, 0).isBroken).toBe(true)
  })

  test('p of a shift alone is that of t1 by hand', () => {
    // t1 = 0.004/√(2 · 0.0011² + 0.0008²) = 2.28664780190012; 2 P(t_12 > t1) = 0.0411804206526451 by mpmath.
    expect(compare(0.004, 0).observed).toBeCloseTo(0.0411804206526451, 10)
  })

  test('a shared mounting leaves no room for re-mounting', () => {
    expect(compare(0.003, 0).isBroken).toBe(false)
    expect(compare(0.003, 0, ['a', 'a', 'a', 'a']).isBroken).toBe(true)
  })

  test('slip of one run: growth from end to end, and a step within 200 rpm', () => {
    const trace = {
      engineSpeed_rpm,
      rollerSpeed_m_per_s: engineSpeed_rpm.map((speed) => speed / (speed < 7000 ? 100 : 102)),
    }
    const { growth, step } = slipWithinRun(trace)
    expect(growth).toBeCloseTo(Math.log(1.02), 12)
    expect(step).toBeCloseTo(Math.log(1.02), 12)
  })
})

describe('processing and copies', () => {
  const jagged = (amplitude: number, phase = 0) =>
    engineSpeed_rpm.map((speed, i) => course(speed) * (1 + amplitude * Math.sin(1.9 * i + phase)))
  const compared = (raw: readonly Float64Array[], sides: readonly (0 | 1)[]): ComparedCurves => ({
    engineSpeed_rpm,
    raw,
    smooth: raw.map((curve) => engineSpeed_rpm.map((_, i) => curve[i] ?? 0)),
    sides,
    mountings: sides.map(() => 'm'),
  })

  test('the side with the smaller second differences is named the smoother', () => {
    expect(curveSmoothing(compared([jagged(0.004), jagged(0.001)], [0, 1]))).toMatchObject({
      isBroken: true,
      smootherSide: 1,
      runs: [1],
    })
    expect(curveSmoothing(compared([jagged(0.001), jagged(0.004)], [0, 1]))).toMatchObject({
      isBroken: true,
      smootherSide: 0,
      runs: [0],
    })
    // Noise of 1.5 times the amplitude has 2.25 times the power: below 2.5.
    expect(curveSmoothing(compared([jagged(0.001), jagged(0.0015)], [0, 1]))).toMatchObject({
      isBroken: false,
      smootherSide: null,
      runs: [],
    })
  })

  test('a rescaled, tilted copy is found; an honest second run is not', () => {
    const original = jagged(0.003)
    const copy = original.map((value, i) => value * 1.01 + (0.0001 * i * value) / 100)
    expect(
      duplicateRuns(compared([original, copy, jagged(0.003, 1.3)], [0, 0, 1]), scale).map(({ runs }) => runs),
    ).toEqual([[0, 1]])
  })

  test('very smooth noise lowers the limit below 0.15', () => {
    expect(duplicateLimit(engineSpeed_rpm, scale)).toBeLessThanOrEqual(0.15)
    expect(duplicateLimit(engineSpeed_rpm, { ...scale, sessionCorrelation_rpm: 2000 })).toBeLessThan(0.001)
    expect(duplicateLimit(engineSpeed_rpm, { ...scale, sessionCorrelation_rpm: 60 })).toBe(0.15)
  })
})

describe('trace of one run', () => {
  test('a recording of more samples than a call takes arguments is read like any other', () => {
    const speeds = Float64Array.from({ length: 300_000 }, (_, i) => 3000 + i / 50)
    const throttle = new Float64Array(300_000).fill(100)
    throttle[150_000] = 96
    expect(traceQuality(speeds, throttle, { from_rpm: 4000, to_rpm: 8000 }).throttle).toBe(0.96)
  })

  test('density, gap, held throttle and cover', () => {
    const speeds = Float64Array.of(3000, 3100, 3400, 3500)
    expect(traceQuality(speeds, Float64Array.of(50, 99, 90, 100), { from_rpm: 3100, to_rpm: 3400 })).toEqual({
      density: 6,
      largestGap_rpm: 300,
      throttle: 0.9,
      isCovered: true,
    })
    expect(traceQuality(speeds, null, { from_rpm: 2999, to_rpm: 3400 })).toMatchObject({
      throttle: null,
      isCovered: false,
    })
    expect(traceQuality(speeds, null, { from_rpm: 3000, to_rpm: 3500 }).isCovered).toBe(true)
  })
})
