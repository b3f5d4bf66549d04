/**
 * The registry of checks: every check of the protocol has a fixture of each status it can give, and of every bound of its
 * limits one fixture on it and one a step beyond. A check, a status or a limit without them fails.
 */
import { describe, expect, test } from 'vitest'
import type { GradedLimit } from '../../packages/sdk/src/contract/protocol.ts'
import { protocols } from '../../packages/sdk/src/engine/protocol/protocols.ts'
import { type Fixture, type Fixtures, finding, rows, valid } from './fixture.ts'
import { airFixtures } from './fixtures/air.ts'
import { engineFixtures } from './fixtures/engine.ts'
import { recordFixtures } from './fixtures/record.ts'
import { setUpFixtures } from './fixtures/set-up.ts'
import { traceFixtures } from './fixtures/trace.ts'

const fixtures: Fixtures = { ...setUpFixtures, ...airFixtures, ...engineFixtures, ...recordFixtures, ...traceFixtures }

/** Relative distance at which an observed value lies on a bound: every number has 6 significant digits. */
const ON_BOUND = 1e-5

/** Share of a bound, or of 1 where that is more, that one step beyond it may be. */
const ONE_STEP = 0.02

test('every check of every protocol has fixtures, and there are none of others', () => {
  const names = new Set(Object.values(protocols).flatMap((protocol) => protocol.rows.map(({ check }) => check.name)))
  expect(Object.keys(fixtures).toSorted()).toEqual([...names].toSorted())
})

describe.each(rows.map(({ check, rule }) => [check.name, check, rule] as const))('%s', (name, check, rule) => {
  const own = fixtures[name] ?? []

  test('has a fixture of every status it can give, and of no other', () => {
    expect([...new Set(own.map(({ status }) => status))].toSorted()).toEqual([...check.statuses].toSorted())
  })

  test.each(own.map((fixture) => [fixture.title, fixture.status, fixture] as const))(
    '%s: %s',
    (_title, status, fixture) => {
      const found = finding(name, fixture.comparison)
      expect(found.status, found.sentence).toBe(status)
      expect(found.sentence).not.toBe('')
      if (status !== 'met' && status !== 'not-applicable') expect(found.remedy).not.toBe('')
      if (status === 'not-evidenced') expect(found.evidence).not.toBeNull()
    },
  )

  test.each(Object.entries(rule.limits))('limit %s: on each bound and one step beyond', (limit, bound) => {
    for (const which of boundsOf(bound)) {
      const [on, beyond] = (['on', 'beyond'] as const).map((step) =>
        own.find(({ at }) => at?.limit === limit && at.bound === which && at.step === step),
      )
      expect(distance(name, on, bound[which]), `${which}: on it`).toBeLessThanOrEqual(ON_BOUND)
      const step = distance(name, beyond, bound[which])
      expect(step, `${which}: beyond it`).toBeGreaterThan(ON_BOUND)
      expect(step, `${which}: one step`).toBeLessThanOrEqual(limit === 'perSide' ? 0.5 : ONE_STEP)
      expect(beyond?.status).not.toBe(on?.status)
    }
  })
})

/** Bounds that can be told apart. */
function boundsOf({ met, marginal }: GradedLimit): readonly ('met' | 'marginal')[] {
  return met === marginal ? ['met'] : ['met', 'marginal']
}

/** How far the observed value of a fixture lies from its bound, relative to it. */
function distance(check: string, fixture: Fixture | undefined, bound: number): number {
  if (fixture === undefined) return Number.NaN
  const target = fixture.at?.value ?? bound
  return Math.abs(Number(finding(check, fixture.comparison).observed) - target) / Math.max(1, Math.abs(target))
}

test.each(rows.map(({ check, rule }) => [check.name, rule.severity] as const))(
  '%s (%s) is not breached on the valid comparison',
  (name) => {
    expect(finding(name, valid).status).not.toBe('breached')
  },
)
