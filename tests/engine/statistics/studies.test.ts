import { describe, expect, test } from 'vitest'
import { facilityPrior } from '../../../packages/sdk/src/engine/statistics/facility-prior.ts'
import { facilityStudy } from '../../../packages/sdk/src/engine/statistics/facility-study.ts'
import { localStudy } from '../../../packages/sdk/src/engine/statistics/local-study.ts'
import { networkFigure } from '../../../packages/sdk/src/engine/statistics/network-record.ts'

const sessions = (variances: readonly number[], dof: number) =>
  variances.map((relativeVariance) => ({ relativeVariance, dof }))

describe('prior of past sessions', () => {
  test('sessions that differ no more than chance have infinite prior degrees of freedom, capped at 8 below ten sessions', () => {
    const prior = facilityPrior(sessions([1, 1, 1, 1], 4))
    // All e_j are equal: ln s0² = ln 1 − ψ(2) + ln 2, ψ(2) = 1 − γ = 0.42278433509846713.
    expect(prior.relativeVariance).toBeCloseTo(Math.exp(Math.LN2 - 0.42278433509846713), 12)
    expect(prior).toMatchObject({ spreadDof: Number.POSITIVE_INFINITY, dof: 8 })
  })

  test('ten such sessions are capped at 15, and few degrees of freedom at their sum', () => {
    expect(facilityPrior(sessions(new Array<number>(10).fill(1), 4)).dof).toBe(15)
    expect(facilityPrior(sessions([1, 1, 1], 1)).dof).toBe(3)
  })

  test('the prior degrees of freedom solve their equation', () => {
    // Two degrees of freedom each: ψ'(1) = π²/6. Variances e^{−3}, 1, e^{3}: var(e) = 9. Then ψ'(d0/2) = 9 − π²/6.
    const { spreadDof } = facilityPrior(sessions([Math.exp(-3), 1, Math.exp(3)], 2))
    const x = spreadDof / 2
    const trigamma = Array.from({ length: 200_000 }, (_, k) => 1 / (x + k) ** 2).reduce((sum, term) => sum + term, 0)
    expect(trigamma + 1 / (x + 200_000)).toBeCloseTo(9 - Math.PI ** 2 / 6, 8)
  })

  test('two sessions are refused, and a variance of 0', () => {
    expect(() => facilityPrior(sessions([1, 1], 4))).toThrow(expect.objectContaining({ code: 'ERR_EMPTY' }))
    expect(() => facilityPrior(sessions([1, 1, 0], 4))).toThrow(expect.objectContaining({ code: 'ERR_OUT_OF_RANGE' }))
  })
})

describe('network of other facilities', () => {
  test('never more than 3 degrees of freedom, and fewer where the facilities differ much', () => {
    expect(networkFigure(sessions(new Array<number>(6).fill(1e-4), 8)).dof).toBe(3)
    const varied = networkFigure(sessions([-6, -4, -2, 2, 4, 6].map(Math.exp), 8))
    expect(varied.dof).toBeGreaterThan(0)
    expect(varied.dof).toBeLessThan(1)
  })

  test('five facilities are too few', () => {
    expect(() => networkFigure(sessions([1, 1, 1, 1, 1], 8))).toThrow(expect.objectContaining({ code: 'ERR_EMPTY' }))
  })
})

describe('study of one unchanged machine', () => {
  const study = (logBandMeans: readonly number[], mountings: readonly string[], localRelSd = 0) =>
    facilityStudy({
      logBandMeans: Float64Array.from(logBandMeans),
      mountings,
      width_rpm: 0,
      localRelSd,
      localCorrelation_rpm: 200,
    })

  test('equal pairs in four mountings: variances by hand', () => {
    // Means 0, 2, 0, 2 (raw = 4/3), within ±1 everywhere (v_r = 8/4 = 2): raw − v_r/2 = 1/3 is below raw/2 = 2/3.
    const found = study([-1, 1, 1, 3, -1, 1, 1, 3], ['a', 'a', 'b', 'b', 'c', 'c', 'd', 'd'])
    expect(found).toMatchObject({ repeatVariance: 2, repeatDof: 4, mountDof: 3 })
    expect(found.rawMountVariance).toBeCloseTo(4 / 3, 14)
    expect(found.mountRelSd).toBeCloseTo(Math.sqrt(2 / 3), 14)
    expect(found.repeatRelSd).toBeCloseTo(Math.SQRT2, 14)
  })

  test('the local noise is taken out of the run-to-run sd, but never more than half of it', () => {
    const pairs = [-1, 1, 1, 3, -1, 1, 1, 3]
    const mountings = ['a', 'a', 'b', 'b', 'c', 'c', 'd', 'd']
    expect(study(pairs, mountings, 0.5).repeatRelSd).toBeCloseTo(Math.sqrt(1.75), 14) // a band of no width keeps all of l²
    expect(study(pairs, mountings, 1.2).repeatRelSd).toBeCloseTo(1, 14)
  })

  test('three mountings are too few, and one run in each', () => {
    expect(() => study([0, 1, 0, 1], ['a', 'a', 'b', 'c'])).toThrow(expect.objectContaining({ code: 'ERR_EMPTY' }))
    expect(() => study([0, 1, 0, 1], ['a', 'b', 'c', 'd'])).toThrow(expect.objectContaining({ code: 'ERR_EMPTY' }))
    expect(() => study([0, 1], ['a'])).toThrow(expect.objectContaining({ code: 'ERR_LENGTH' }))
  })
})

describe('local noise of a study', () => {
  const engineSpeed_rpm = Float64Array.from({ length: 81 }, (_, i) => 4000 + 50 * i)
  const wave = (amplitude: number) =>
    engineSpeed_rpm.map((_, i) => 100 * (1 + amplitude * Math.sin((2 * Math.PI * i) / 20)))

  test('two opposite sine waves: sd and correlation length from the wave', () => {
    const { localRelSd, localCorrelation_rpm, dof } = localStudy({
      curves: [wave(0.01), wave(-0.01)],
      engineSpeed_rpm,
      mountings: ['m', 'm'],
    })
    // Residuals ± 0.01 sin: v_l = 2 · 0.5 · 1e-4 on one degree of freedom (to 1 %, the wave ends at a node). A wave of 1,000 rpm
    // has ℓ = 1000/2π = 159 rpm, lengthened 0.8 % by the forward difference.
    expect(dof).toBe(1)
    expect(localRelSd).toBeCloseTo(0.01, 3)
    expect(localCorrelation_rpm).toBeGreaterThan(155)
    expect(localCorrelation_rpm).toBeLessThan(163)
  })

  test('the profile has mean 1 and is drawn towards flat', () => {
    const loud = engineSpeed_rpm.map(
      (speed, i) => 100 * (1 + (speed < 6000 ? 0.02 : 0.005) * Math.sin((2 * Math.PI * i) / 20)),
    )
    const quiet = engineSpeed_rpm.map(
      (speed, i) => 100 * (1 - (speed < 6000 ? 0.02 : 0.005) * Math.sin((2 * Math.PI * i) / 20)),
    )
    const { profile } = localStudy({ curves: [loud, quiet], engineSpeed_rpm, mountings: ['m', 'm'] })
    const mean = profile.weight_1.reduce((sum, weight) => sum + weight, 0) / profile.weight_1.length
    expect(mean).toBeCloseTo(1, 12)
    expect(Math.min(...profile.weight_1)).toBeGreaterThan(2 / 3) // (2 + 1 · q)/(2 + 1) with q above 0
    expect(profile.weight_1[5] ?? 0).toBeGreaterThan((profile.weight_1[75] ?? 0) + 0.3)
  })

  test('copies have no noise and no length; single runs are refused', () => {
    expect(localStudy({ curves: [wave(0.01), wave(0.01)], engineSpeed_rpm, mountings: ['m', 'm'] })).toMatchObject({
      localRelSd: 0,
      localCorrelation_rpm: null,
    })
    expect(() => localStudy({ curves: [wave(0), wave(0)], engineSpeed_rpm, mountings: ['a', 'b'] })).toThrow(
      expect.objectContaining({ code: 'ERR_EMPTY' }),
    )
  })
})
