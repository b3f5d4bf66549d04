/** Values pooled over other facilities, and the warm-up term in both drift models. */
import { describe, expect, test } from 'vitest'
import type { Comparison, FacilityRecord } from '../../packages/sdk/src/contract/index.ts'
import { modelledFit } from '../../packages/sdk/src/engine/statistics/drift-models.ts'
import { fillRecord, NOTHING_DECLARED } from '../../packages/sdk/src/engine/statistics/facility-record.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import {
  noDisclosure,
  ordinaryFaults,
  type SessionRecipe,
  simulateSession,
} from '../../packages/sdk/src/testing/index.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'

describe('a record of other facilities', () => {
  const { comparison } = simulateSession({
    seed: 4,
    design: 'A|B',
    runsPerBlock: 2,
    gain: { shape: 'uniform', percent: 4 },
    claims: [bandMeanClaim('c1', percent(1))],
    disclosure: noDisclosure,
  })
  const withDof = (degreesOfFreedom: number): Comparison => {
    const group = { relativeSd: 0.005, degreesOfFreedom, status: 'network' } as const
    const record: FacilityRecord = { repeatability: group, remounting: group, day: group }
    return { ...comparison, facility: { id: 'rig', record } }
  }
  const conditionalOf = async (degreesOfFreedom: number) => {
    const { gains } = await assess(withDof(degreesOfFreedom))
    return gains.corrected[0]?.conditional
  }

  test('counts with its own degrees of freedom, at most three, and by the rule of Howe', async () => {
    const [one, two, three, twenty] = await Promise.all([1, 2, 3, 20].map(conditionalOf))
    const width = (each: typeof one) => (each?.relative.high ?? Number.NaN) - (each?.relative.low ?? Number.NaN)
    expect(three).toMatchObject({ on: 'network', relative: { rule: 'howe' } })
    expect(width(one)).toBeGreaterThan(width(two))
    expect(width(two)).toBeGreaterThan(width(three))
    expect(twenty).toEqual(three)
  })

  test('fills what is absent: min(d0, 3); a value without any has 3', () => {
    const filled = (mountDof?: number) =>
      fillRecord(NOTHING_DECLARED, { mountRelSd: 0.005, ...(mountDof === undefined ? {} : { mountDof }) }, 'network')
        .record
    expect([1.5, 3, 12, undefined].map((dof) => filled(dof).mountDof)).toEqual([1.5, 3, 3, 3])
  })
})

describe('a judgement on assumed values', () => {
  const session = (faults: SessionRecipe['faults']) =>
    simulateSession({
      seed: 4,
      design: 'A|B',
      runsPerBlock: 3,
      gain: { shape: 'uniform', percent: 9 },
      claims: [bandMeanClaim('c1', percent(1))],
      disclosure: noDisclosure,
      ...(faults === undefined ? {} : { faults }),
    }).comparison
  const judged = async (comparison: Comparison) => (await assess(comparison)).claims[0]

  test('is given where nothing else stands in the way', async () => {
    const claim = await judged(session([]))
    expect(claim).toMatchObject({ judgement: 'undecided', conditional: { on: 'typical', judgement: 'supported' } })
  })

  test('stays open, with the reason, where a check leaves every claim open', async () => {
    const claim = await judged(session([ordinaryFaults['intake-air']]))
    expect(claim).toMatchObject({ judgement: 'undecided', conditional: { judgement: 'undecided' } })
    expect(claim?.reason).toContain('intake-air-matched')
    expect(claim?.conditional?.sentence).toContain(`Undecided: ${claim?.reason}`)
  })
})

describe('a drift that may have started afresh at every mounting', () => {
  const input = {
    values: Float64Array.of(100, 101, 102, 103, 104, 105),
    sides: [0, 0, 0, 1, 1, 1],
    mountings: ['a', 'a', 'a', 'b', 'b', 'b'],
    factors: [1, 1, 1, 1, 1, 1],
    days: null,
    record: { ...NOTHING_DECLARED, repeatRelSd: 0.003, repeatDof: 8, mountRelSd: 0.004, mountDof: 8 },
    width_rpm: 0,
    isRelative: true,
    hasWarmUpTerm: true,
    isOrderKnown: true,
  } as const
  const models = {
    session: Float64Array.of(0, 1, 2, 3, 4, 5),
    restarted: Float64Array.of(0, 1, 2, 0, 1, 2),
    byClock: null,
  }

  test('keeps the warm-up term: which side came first is no part of the drift model', () => {
    const { main, others, hasTwoDriftModels } = modelledFit(input, models)
    expect(hasTwoDriftModels).toBe(true)
    const bare = modelledFit({ ...input, hasWarmUpTerm: false }, models)
    for (const [i, outcome] of [main, ...others].entries()) {
      const fit = outcome.ok ? outcome.fit : null
      const without = [bare.main, ...bare.others][i]
      expect(fit?.components.filter(({ term }) => term === 'warm_up')).toHaveLength(1)
      expect(fit?.interval?.u ?? 0).toBeGreaterThan((without?.ok ? without.fit.interval?.u : undefined) ?? Infinity)
    }
    for (const outcome of others) expect(outcome.ok && outcome.fit.isBracketed).toBe(false)
  })
})
