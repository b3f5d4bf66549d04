import { describe, expect, test } from 'vitest'
import type { SideIndex } from '../../../packages/sdk/src/engine/statistics/cells.ts'
import { type FacilityFigures, NOTHING_DECLARED } from '../../../packages/sdk/src/engine/statistics/facility-record.ts'
import {
  type PlannedDesign,
  type PlanningFigures,
  plannedComponents,
} from '../../../packages/sdk/src/engine/statistics/planned-session.ts'
import { designPower, sampleSize } from '../../../packages/sdk/src/engine/statistics/sample-size.ts'
import { scalarInterval } from '../../../packages/sdk/src/engine/statistics/scalar-interval.ts'

/** Run-to-run sd 0.5 % on 8 degrees of freedom; mounting sd on 10: the figures behind the printed table. */
const figures = (mountRelSd: number): PlanningFigures => ({
  repeatRelSd: 0.005,
  repeatDof: 8,
  mountRelSd,
  mountDof: 10,
  otherVariance: 0,
})

describe('half-widths of measurement-model §11, printed in % to two decimals', () => {
  // Rows of the table: between-mounting sd in %, mountings per side, half-width for n = 1, 2, 3, 6 runs per mounting.
  test.each([
    [0.25, 1, [1.72, 1.29, 1.12, 0.95]],
    [0.5, 1, [2.1, 1.82, 1.73, 1.64]],
    [0.5, 2, [1.48, 1.27, 1.21, 1.14]],
    [1, 1, [3.38, 3.25, 3.22, 3.18]],
  ])('mounting sd %d %%, %i mountings per side', (mountPercent, mountings, printed) => {
    const got = [1, 2, 3, 6].map(
      (runs) => designPower({ mountings, runs, isMountingShared: false }, figures(mountPercent / 100))?.halfWidth,
    )
    // 0.006 and not 0.005: four of the sixteen entries were printed from figures a little below the rounding step.
    got.forEach((value, i) => {
      expect(Math.abs(100 * (value ?? Number.NaN) - (printed[i] ?? 0))).toBeLessThan(0.006)
    })
  })

  test('no re-mounting', () => {
    const got = [1, 2, 3, 6].map(
      (runs) => designPower({ mountings: 1, runs, isMountingShared: true }, figures(0.005))?.halfWidth,
    )
    got.forEach((value, i) => {
      expect(Math.abs(100 * (value ?? Number.NaN) - ([1.63, 1.11, 0.89, 0.61][i] ?? 0))).toBeLessThan(0.005)
    })
  })

  test('u, dof and the slack for 80 % power follow from each other', () => {
    const power = designPower({ mountings: 1, runs: 1, isMountingShared: false }, figures(0.005))
    // u² = 2 · 0.5² + 2 · 0.5² = 1 %²; ν = 1/(0.5²/8 + 0.5²/10) = 17.777…; slack = half-width + 0.85 u.
    expect(power?.u).toBeCloseTo(0.01, 15)
    expect(power?.dof).toBeCloseTo(160 / 9, 10)
    expect(power?.slack).toBeCloseTo((power?.halfWidth ?? 0) + 0.0085, 15)
  })

  test('without a record one run per side has no interval, and two runs have one', () => {
    const unrecorded = { ...figures(0), repeatDof: 0, mountDof: 0 }
    expect(designPower({ mountings: 1, runs: 1, isMountingShared: true }, unrecorded)).toBeNull()
    expect(designPower({ mountings: 1, runs: 2, isMountingShared: true }, unrecorded)?.dof).toBeCloseTo(2, 12)
  })

  test.each([0, -1, 1.5, Number.NaN])('%d mountings cannot be planned', (mountings) => {
    expect(() => designPower({ mountings, runs: 1, isMountingShared: false }, figures(0.005))).toThrow(
      expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path: 'mountings' }),
    )
  })
})

describe('fewest mountings for a target', () => {
  test('each answer reaches the target and one mounting fewer does not', () => {
    const halfWidth = 0.0125
    const answers = sampleSize({
      target: { kind: 'half-width', halfWidth },
      figures: figures(0.005),
      isMountingShared: false,
    })
    expect(answers.map(({ runs }) => runs).toSorted()).toEqual([1, 2, 3, 4, 5, 6])
    for (const { mountings, runs, halfWidth: reached } of answers) {
      expect(reached).toBeLessThanOrEqual(halfWidth)
      if (mountings === 1) continue
      const fewer = designPower({ mountings: mountings - 1, runs, isMountingShared: false }, figures(0.005))
      expect(fewer?.halfWidth).toBeGreaterThan(halfWidth)
    }
  })

  test('the fewest runs in all come first', () => {
    const answers = sampleSize({
      target: { kind: 'half-width', halfWidth: 0.0125 },
      figures: figures(0.005),
      isMountingShared: false,
    })
    const totals = answers.map(({ mountings, runs }) => mountings * runs)
    expect(totals).toEqual(totals.toSorted((a, b) => a - b))
  })

  test('a claim needs more than an interval of the same width', () => {
    const fewest = (target: Parameters<typeof sampleSize>[0]['target']) =>
      sampleSize({ target, figures: figures(0.005), isMountingShared: false })[0]?.mountings ?? 0
    expect(fewest({ kind: 'claim', slack: 0.0125 })).toBeGreaterThan(fewest({ kind: 'half-width', halfWidth: 0.0125 }))
  })

  test('a target below what 60 mountings give has no answer, and a target of 0 is refused', () => {
    const ask = (halfWidth: number) =>
      sampleSize({
        target: { kind: 'half-width', halfWidth },
        figures: { ...figures(0.005), otherVariance: 1e-6 },
        isMountingShared: false,
      })
    // Drift and ambient alone leave 1.96 · 0.1 %.
    expect(ask(0.00195)).toEqual([])
    expect(() => ask(0)).toThrow(expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path: 'target' }))
  })
})

describe('a planned design is fitted as its assessment would be', () => {
  const { repeatRelSd, mountRelSd } = figures(0.004)
  const drift = 0.002

  /** The runs of a plan, with a scatter that the drift check lets pass. */
  function fitOf(sides: readonly SideIndex[], mountings: readonly string[], declared: Partial<FacilityFigures>) {
    const outcome = scalarInterval({
      values: Float64Array.from(sides, (_, i) => 100 + Math.sin(7 * i) / 10),
      sides,
      mountings,
      t: Float64Array.from(sides, (_, i) => i),
      factors: sides.map(() => 1),
      days: null,
      record: { ...NOTHING_DECLARED, repeatRelSd, repeatDof: 8, localRelSd: 0, driftRelSdPerRun: drift, ...declared },
      width_rpm: 0,
      isRelative: true,
      hasWarmUpTerm: false,
      isOrderKnown: true,
    })
    if (!outcome.ok) throw new Error(outcome.reason)
    return outcome.fit
  }

  const planned = { repeatRelSd, repeatDof: 8, mountRelSd, mountDof: 10, driftRelSdPerRun: drift, otherVariance: 0 }
  const variances = (design: PlannedDesign, given: PlanningFigures) =>
    plannedComponents(design, given)?.map(({ variance }) => variance) ?? []
  const close = (got: readonly number[], wanted: readonly number[]) => {
    expect(got).toHaveLength(wanted.length)
    got.forEach((value, i) => {
      expect(value / (wanted[i] ?? Number.NaN)).toBeCloseTo(1, 9)
    })
  }

  test('sides taking turns in one mounting', () => {
    const fit = fitOf([0, 1, 1, 0, 0, 1], Array(6).fill('m0'), {})
    close(variances({ mountings: 1, runs: 3, isMountingShared: true }, planned), [
      repeatRelSd ** 2 * fit.repeatWeight,
      drift ** 2 * fit.driftWeight,
    ])
  })

  test('strapped down again within each side, with a re-mounting record', () => {
    const fit = fitOf([0, 0, 0, 0, 1, 1, 1, 1], ['a0', 'a0', 'a1', 'a1', 'b0', 'b0', 'b1', 'b1'], {
      mountRelSd,
      mountDof: 10,
    })
    expect(fit.mountMode).toBe('declared+session')
    close(variances({ mountings: 2, runs: 2, isMountingShared: false }, planned), [
      repeatRelSd ** 2 * fit.repeatWeight,
      mountRelSd ** 2 * fit.mountWeight,
      drift ** 2 * fit.driftWeight,
    ])
  })

  test('strapped down again without one: the mountings are the units', () => {
    const fit = fitOf([0, 0, 0, 1, 1, 1], ['a0', 'a1', 'a2', 'b0', 'b1', 'b2'], {})
    expect(fit.mountMode).toBe('session_mounting_means')
    const unrecorded = { ...planned, mountDof: 0 }
    close(variances({ mountings: 3, runs: 1, isMountingShared: false }, unrecorded), [
      (mountRelSd ** 2 + repeatRelSd ** 2) * fit.mountWeight,
      drift ** 2 * fit.driftWeight,
    ])
    const mount = fit.components.find(({ term }) => term === 'mount')
    expect(plannedComponents({ mountings: 3, runs: 1, isMountingShared: false }, unrecorded)?.[0]?.dof).toBe(mount?.dof)
    expect(designPower({ mountings: 1, runs: 3, isMountingShared: false }, unrecorded)).toBeNull()
  })
})

describe('the chance of support', () => {
  const design = { mountings: 2, runs: 2, isMountingShared: false } as const

  test.each([
    // Normal quantiles as every table prints them, to be rounded up: 0.5244, 0.8416, 1.2816.
    [0.7, 0.53],
    [0.8, 0.85],
    [0.9, 1.29],
  ])('%d: the slack exceeds the half-width by %d u', (chance, z) => {
    const power = designPower(design, figures(0.005), chance)
    expect(((power?.slack ?? 0) - (power?.halfWidth ?? 0)) / (power?.u ?? 1)).toBeCloseTo(z, 10)
  })

  test.each([0.49, 1, Number.NaN])('%d cannot be planned for', (chance) => {
    expect(() => designPower(design, figures(0.005), chance)).toThrow(
      expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path: 'chance' }),
    )
  })
})
