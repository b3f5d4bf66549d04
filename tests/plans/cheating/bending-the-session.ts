/** Sessions that are not what they are said to be. */
import type { Comparison } from '@fairpull/sdk/contract'
import { ordinaryPace, type SimulatedSession } from '@fairpull/sdk/testing'
import { ranked, withOnly, withoutTemperatures } from '../../calibration/cheating/null-product.ts'
import { bandClaims, issued, type RegisterStrategy } from './attempt.ts'
import { bestRuns, onlyRuns } from './choosing-runs.ts'
import { plannedSession, played, type Vendor } from './vendor.ts'

/** Four baselines of other days, of which the lowest is kept; days scatter like mountings, and as much again. */
function oldBaselineSession(vendor: Vendor): SimulatedSession {
  const session = plannedSession(vendor.seed, { design: 'A/A/A/A/B' })
  const lowest = ranked(session, 'baseline')[0]?.state.slot.mounting
  const kept = session.truth.runs.filter(
    ({ state }) => state.slot.side === 'modified' || state.slot.mounting === lowest,
  )
  return withOnly(session, kept)
}

/** Runs of mountings in which nothing measured is left, taken out as well. */
function withoutIdleMountings(comparison: Comparison): Comparison {
  const used = new Set(comparison.runs.flatMap((run) => (run.purpose === 'measured' ? (run.mounting ?? []) : [])))
  const runs = comparison.runs.filter(({ mounting }) => used.has(mounting ?? ''))
  return { ...comparison, runs, mountings: comparison.mountings?.filter(({ id }) => used.has(id)) ?? [] }
}

/** A baseline of another day. */
export const oldBaseline: RegisterStrategy = {
  id: 'old baseline',
  does: 'takes the lowest of four baselines of earlier days, and registers the plan today',
  stoppedBy: 'all runs are made after the registration; numbers of the rig without gap',
  beside: 'old baseline',
  play: (vendor) => {
    const comparison = withoutIdleMountings(issued(vendor, oldBaselineSession(vendor)))
    const modified = comparison.runs.filter(({ side }) => side === 'modified')
    const today_ms = Math.min(...modified.map(({ startedAt }) => Date.parse(startedAt ?? ''))) - 600_000
    return played(vendor, { comparison, registeredAt_ms: today_ms })
  },
}

/** The same, with dates and numbers of today. */
export const forgedBaseline: RegisterStrategy = {
  id: 'old baseline, forged',
  does: 'the same, and writes start times and numbers of the rig anew, as if the baseline had been made today',
  stoppedBy: null,
  beside: 'old baseline',
  play: (vendor) => {
    const comparison = withoutIdleMountings(issued(vendor, oldBaselineSession(vendor)))
    const start_ms = Date.parse('2026-05-02T08:00:00Z')
    const runs = comparison.runs.map((run, index) => ({
      ...run,
      sequence: index + 1,
      counter: 201 + index,
      startedAt: new Date(start_ms + index * 180_000).toISOString(),
    }))
    const mountings = comparison.mountings?.map(({ at: _, ...mounting }) => mounting) ?? []
    return played(vendor, { comparison: { ...comparison, runs, mountings } })
  },
}

const WARM_UP = { isSteady: false, driftPerRun_1: 0, warmUp_1: 0.01 }

/** A cold baseline. */
export const coldThenWarm: RegisterStrategy = {
  id: 'cold before, warm after',
  does: 'registers three conditioning runs, makes none, and records no engine temperature',
  stoppedBy: 'three conditioning runs, or engine temperatures that agree',
  beside: 'cold before, warm after',
  play: (vendor) => {
    const session = plannedSession(vendor.seed, {
      design: 'AB',
      trend: WARM_UP,
      pace: { ...ordinaryPace, conditioningRuns: 0 },
    })
    return played(vendor, { comparison: withoutTemperatures(issued(vendor, session)) })
  },
}

const UNDERSTATED = 0.25

/** The record that the vendor would like to have. */
function understatedRecord(comparison: Comparison): Comparison {
  const { facility } = comparison
  const remounting = facility?.record?.remounting
  if (facility?.record === undefined || remounting === undefined) throw new TypeError('a session without a record')
  const stated = { ...remounting, relativeSd: remounting.relativeSd * UNDERSTATED }
  return { ...comparison, facility: { ...facility, record: { ...facility.record, remounting: stated } } }
}

/** A record that says too little. */
export const understated: RegisterStrategy = {
  id: 'understated record',
  does: 'states a quarter of the true re-mounting scatter, under the name of the study that the register issued',
  stoppedBy: 'the record is the one that the register issued, value for value',
  beside: 'understated record',
  play: (vendor) => played(vendor, { comparison: understatedRecord(issued(vendor, plannedSession(vendor.seed))) }),
}

/** Everything together. */
export const allAtOnce: RegisterStrategy = {
  id: 'all at once',
  does: 'best 3 of 8, understated record, cold before and warm after, 40 bands claimed afterwards',
  stoppedBy: 'all of the above',
  beside: 'all at once',
  play: (vendor) => {
    const session = plannedSession(vendor.seed, {
      runsPerBlock: 8,
      trend: WARM_UP,
      pace: { ...ordinaryPace, conditioningRuns: 0 },
    })
    const chosen = new Set(bestRuns(session, 3).map(({ state }) => state.id))
    const comparison = withoutTemperatures(onlyRuns(understatedRecord(issued(vendor, session)), chosen))
    return played(vendor, {
      comparison,
      exploratory: bandClaims,
    })
  },
}
