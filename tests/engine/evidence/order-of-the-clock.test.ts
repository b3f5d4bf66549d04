/** Two orders of the runs: the submitted one, and that of the clock where it says otherwise. */
import { describe, expect, test } from 'vitest'
import type { Comparison, Run } from '../../../packages/sdk/src/contract/index.ts'
import { driftModelsOf } from '../../../packages/sdk/src/engine/evidence/analysis.ts'
import { readSession } from '../../../packages/sdk/src/engine/inputs/session.ts'
import { modelledFit } from '../../../packages/sdk/src/engine/statistics/drift-models.ts'
import { NOTHING_DECLARED } from '../../../packages/sdk/src/engine/statistics/facility-record.ts'
import { simulateSession } from '../../../packages/sdk/src/testing/index.ts'
import { bandMeanClaim, percent } from '../../calibration/claims.ts'
import { finding } from '../../checks/fixture.ts'

const { comparison } = simulateSession({
  seed: 2,
  design: 'A|B',
  runsPerBlock: 3,
  gain: { shape: 'uniform', percent: 3 },
  claims: [bandMeanClaim('c1', percent(1))],
})

function withRuns(change: (run: Run) => Run): Comparison {
  return { ...comparison, runs: comparison.runs.map(change) }
}

function startOf(id: string): string {
  return comparison.runs.find((run) => run.id === id)?.startedAt ?? ''
}

/** The start times of two runs exchanged. */
function exchanged(run: Run): Run {
  const other: Readonly<Record<string, string>> = { a2: startOf('a3'), a3: startOf('a2') }
  return { ...run, startedAt: other[run.id] ?? run.startedAt ?? '' }
}

function untimed({ startedAt: _, ...run }: Run): Run {
  return run
}

const modelsOf = (one: Comparison) => driftModelsOf(readSession(one))

describe('the order of the clock', () => {
  test('is no second one where it agrees', () => {
    expect(modelsOf(comparison).byClock).toBeNull()
  })

  test('is looked at beside the submitted one where it disagrees', () => {
    const { session, byClock } = modelsOf(withRuns(exchanged))
    expect(byClock?.session[1]).toBeGreaterThan(byClock?.session[2] ?? Number.NaN)
    expect(session[1]).toBeLessThan(session[2] ?? Number.NaN)
  })

  test('cannot be hidden by leaving the start time of another run out', () => {
    const { byClock } = modelsOf(withRuns((run) => (run.id === 'b1' ? untimed(run) : exchanged(run))))
    expect(byClock?.session[1]).toBeGreaterThan(byClock?.session[2] ?? Number.NaN)
  })

  test('has its own drift that starts afresh, where it shows a drift', () => {
    const input = {
      values: Float64Array.of(100, 102, 101, 103, 105, 104),
      sides: [0, 0, 0, 1, 1, 1],
      mountings: ['a', 'a', 'a', 'b', 'b', 'b'],
      factors: [1, 1, 1, 1, 1, 1],
      days: null,
      record: { ...NOTHING_DECLARED, repeatRelSd: 0.002, repeatDof: 8, mountRelSd: 0.004, mountDof: 8 },
      width_rpm: 0,
      isRelative: true,
      hasWarmUpTerm: false,
      isOrderKnown: true,
    } as const
    const byClock = {
      session: Float64Array.of(0, 2, 1, 3, 5, 4),
      restarted: Float64Array.of(0, 2, 1, 0, 2, 1),
      byClock: null,
    }
    const inOrder = { session: Float64Array.of(0, 1, 2, 3, 4, 5), restarted: Float64Array.of(0, 1, 2, 0, 1, 2) }
    const both = modelledFit(input, { ...inOrder, byClock })
    const clock = modelledFit(input, byClock)
    expect(clock.hasTwoDriftModels).toBe(true)
    expect(both.others.slice(-2)).toEqual([clock.main, ...clock.others])
  })
})

describe('what order-coherent says of it', () => {
  const said = (one: Comparison) => finding('order-coherent', one)

  test('both orders were analysed, where the clock moves a measured run', () => {
    const found = said(withRuns(exchanged))
    expect(found).toMatchObject({ status: 'marginal', runs: ['a2', 'a3'] })
    expect(found.sentence).toContain('both orders were analysed')
  })

  test('the same across a run without a start time', () => {
    const apart: Readonly<Record<string, string>> = { a1: startOf('a3'), a3: startOf('a1') }
    const found = said(
      withRuns((run) => (run.id === 'a2' ? untimed(run) : { ...run, startedAt: apart[run.id] ?? run.startedAt ?? '' })),
    )
    expect(found).toMatchObject({ status: 'marginal', runs: ['a1', 'a3'] })
  })

  test('no more than that, where only the rig’s own numbers disagree', () => {
    const counters: Readonly<Record<string, number>> = { a2: 9002, a3: 9001 }
    const found = said(withRuns((run) => ({ ...run, counter: counters[run.id] ?? run.counter ?? 0 })))
    expect(found.status).toBe('marginal')
    expect(found.sentence).toContain('the rig’s own numbers')
    expect(found.sentence).not.toContain('analysed')
  })
})
