import { describe, expect, test } from 'vitest'
import { gainCurveLimits, significantRanges } from '../../../packages/sdk/src/engine/statistics/gain-curve.ts'
import { isMountingGapLonger, longestMountingGap_s } from '../../../packages/sdk/src/engine/statistics/mounting-gap.ts'
import { sideScatter } from '../../../packages/sdk/src/engine/statistics/side-scatter.ts'
import type { Band, BandOutcome } from '../../../packages/sdk/src/engine/statistics/simultaneous-band.ts'

/** A band outcome as far as the limits look at it. */
function outcomeOf(gain: readonly number[], u: readonly number[], critical: number): BandOutcome {
  const band = { u: Float64Array.from(u), critical, pointwiseFactor: 2 } as unknown as Band
  return { ok: true, value: { gain: Float64Array.from(gain), band } } as unknown as BandOutcome
}

describe('limits of the gain curve', () => {
  const first = outcomeOf([1, 2], [0.5, 0.5], 3)

  test('one model: gain ± c u, and ± t u speed by speed', () => {
    const limits = gainCurveLimits({ main: first, others: [], hasTwoDriftModels: false })
    expect(limits).toEqual({
      gain: Float64Array.of(1, 2),
      low: Float64Array.of(-0.5, 0.5),
      high: Float64Array.of(2.5, 3.5),
      pointwiseLow: Float64Array.of(0, 1),
      pointwiseHigh: Float64Array.of(2, 3),
    })
  })

  test('two models: the gain of the first, at each speed the widest limits', () => {
    const second = outcomeOf([0, 3], [0.5, 0.5], 2)
    const limits = gainCurveLimits({ main: first, others: [second], hasTwoDriftModels: true })
    expect(limits).toMatchObject({
      gain: Float64Array.of(1, 2),
      low: Float64Array.of(-1, 0.5),
      high: Float64Array.of(2.5, 4),
    })
  })

  test('no band in one of the models: no limits', () => {
    const none = { ok: true, value: { gain: Float64Array.of(0, 3), band: null } } as unknown as BandOutcome
    expect(gainCurveLimits({ main: first, others: [none], hasTwoDriftModels: true })).toBeNull()
    expect(gainCurveLimits({ main: none, others: [], hasTwoDriftModels: false })).toBeNull()
    expect(
      gainCurveLimits({ main: { ok: false, reason: 'side-empty' }, others: [], hasTwoDriftModels: false }),
    ).toBeNull()
  })

  test('runs of grid points that exclude 0; a limit at 0 does not exclude it, and a change of sign parts two ranges', () => {
    const low = Float64Array.of(0.1, 0.2, 0, -1, -2, 0.3, -3)
    const high = Float64Array.of(1, 1, 1, 1, -0.1, 1, -0.2)
    expect(significantRanges({ low, high })).toEqual([
      { sign: 'gain', first: 0, last: 1 },
      { sign: 'loss', first: 4, last: 4 },
      { sign: 'gain', first: 5, last: 5 },
      { sign: 'loss', first: 6, last: 6 },
    ])
  })
})

describe('scatter of the sides', () => {
  test('sds and two-sided p by hand', () => {
    // Baseline 0, 2: s² = 2 on 1; modified 0, 4: s² = 8 on 1. F_{1,1} upper tail at 4 is 1 − (2/π) atan 2.
    const { sds, p, isUnequal } = sideScatter(Float64Array.of(0, 2, 0, 4), [0, 0, 1, 1], ['a', 'a', 'a', 'a'])
    expect(sds[0]).toBeCloseTo(Math.SQRT2, 14)
    expect(sds[1]).toBeCloseTo(Math.sqrt(8), 14)
    expect(p).toBeCloseTo(2 * (1 - (2 / Math.PI) * Math.atan(2)), 12)
    expect(isUnequal).toBe(false)
  })

  test('a side that repeats much worse is told, whichever it is', () => {
    const calm = [0, 0.1, -0.1, 0.05, -0.05]
    const wild = [0, 3, -3, 2, -2]
    const sides = [...calm.map(() => 0 as const), ...wild.map(() => 1 as const)]
    const mountings = sides.map(() => 'm')
    expect(sideScatter(Float64Array.from([...calm, ...wild]), sides, mountings).isUnequal).toBe(true)
    expect(sideScatter(Float64Array.from([...wild, ...calm]), sides, mountings).isUnequal).toBe(true)
  })

  test('one run in a mounting has no scatter, and nothing is compared', () => {
    expect(sideScatter(Float64Array.of(0, 1, 3), [0, 1, 1], ['a', 'b', 'b'])).toMatchObject({
      p: null,
      isUnequal: false,
    })
    expect(sideScatter(Float64Array.of(0, 1, 3), [0, 1, 1], ['a', 'b', 'b']).sds[0]).toBeNull()
  })
})

describe('gap between mountings', () => {
  const run = (start_s: number | null, mounting: string) => ({ start_s, mounting })

  test('the longest, from the last run of one to the first of the next', () => {
    expect(longestMountingGap_s([run(0, 'a'), run(200, 'a'), run(1200, 'b'), run(4000, 'c')])).toBe(2800)
    expect(longestMountingGap_s([run(0, 'a'), run(200, 'a')])).toBeNull()
    expect(longestMountingGap_s([run(0, 'a'), run(null, 'b')])).toBeNull()
  })

  test('longer than 1.5 times the record’s own, not as long', () => {
    expect(isMountingGapLonger(1500, 1000)).toBe(false)
    expect(isMountingGapLonger(1501, 1000)).toBe(true)
    expect(isMountingGapLonger(null, 1000)).toBe(false)
    expect(isMountingGapLonger(1501, null)).toBe(false)
  })
})
