/** The ways to cheat, each with whatever the vendor can still do once the register stands in the way. */
import type { Comparison, Run } from '@fairpull/sdk/contract'
import { createRandom, ordinaryPace, type SimulatedSession } from '@fairpull/sdk/testing'
import { LEAST_GAIN, ranked, withOnly, withoutTemperatures } from '../../calibration/cheating/null-product.ts'
import { atSpeedClaim, bandMeanClaim, peakClaim } from '../../calibration/claims.ts'
import { childSeed } from '../../calibration/study.ts'
import {
  type Ending,
  endingOf,
  plannedSession,
  played,
  registerPlan,
  seenAtHome,
  sendAll,
  type Vendor,
  withIssuedRecord,
} from './vendor.ts'

/** A way to cheat, or not to, at the register. */
export interface RegisterStrategy {
  /** Name. */
  readonly id: string
  /** What the vendor does. */
  readonly does: string
  /** What stops it; null where nothing can, and the figure is reported. */
  readonly stoppedBy: string | null
  /** Strategy of the calibration whose naive figures stand beside it. */
  readonly beside: string
  /** One product. */
  readonly play: (vendor: Vendor) => Promise<Ending>
}

/** The session's document under a record that the register issued. */
function issued({ seed }: Vendor, session: SimulatedSession, label = 'own'): Comparison {
  return withIssuedRecord(session.comparison, session.comparison, `study ${seed} ${label}`)
}

const honest = (runs: number): RegisterStrategy => ({
  id: `honest, ${runs} a side`,
  does: `registers ${runs} run${runs === 1 ? '' : 's'} a side, makes them and hands in all`,
  stoppedBy: 'nothing to stop',
  beside: `honest, ${runs} a side`,
  play: (vendor) => played(vendor, { comparison: issued(vendor, plannedSession(vendor.seed, { runsPerBlock: runs })) }),
})

/** The lowest before and the highest after. */
function bestRuns(session: SimulatedSession, count: number) {
  return [...ranked(session, 'baseline').slice(0, count), ...ranked(session, 'modified').slice(-count)]
}

/** A document with the chosen runs only, under the numbers that the rig really gave them. */
function onlyRuns(comparison: Comparison, chosen: ReadonlySet<string>): Comparison {
  return { ...comparison, runs: comparison.runs.filter(({ id, purpose }) => purpose !== 'measured' || chosen.has(id)) }
}

/** All runs, those that do not suit called something else, with or without what there is of their traces. */
function relabelled(comparison: Comparison, chosen: ReadonlySet<string>, withTraces: boolean): Comparison {
  const runs = comparison.runs.map((run): Run => {
    if (run.purpose !== 'measured' || chosen.has(run.id)) return run
    const { channels: _, ...bare } = run
    return { ...(withTraces ? run : bare), purpose: 'aborted' }
  })
  return { ...comparison, runs }
}

/** The first attempt that is supported, else the last one. */
async function best(attempts: readonly (() => Promise<Ending>)[]): Promise<Ending> {
  let ending: Ending = { isSupported: false, broken: [] }
  for (const attempt of attempts) {
    ending = await attempt()
    if (ending.isSupported) return ending
  }
  return ending
}

function pickingRuns(id: string, does: string, made: number): RegisterStrategy {
  return {
    ...{ id, does, beside: id },
    stoppedBy: 'numbers of the rig without gap; a whole pull may not be called aborted',
    play: (vendor) => {
      const session = plannedSession(vendor.seed, { runsPerBlock: made })
      const chosen = new Set(bestRuns(session, 3).map(({ state }) => state.id))
      const whole = issued(vendor, session)
      const variants = [onlyRuns(whole, chosen), relabelled(whole, chosen, false), relabelled(whole, chosen, true)]
      return best(
        variants.map((comparison, k) => () => played({ ...vendor, product: `${vendor.product} ${k}` }, { comparison })),
      )
    },
  }
}

const PAIRS = 8

const stopping: RegisterStrategy = {
  id: 'stop when it looks good',
  does: `registers ${PAIRS} pairs, looks at home after each pair from the second on, and closes the plan as soon as it is supported there`,
  stoppedBy: 'runs as planned: only the last look counts',
  beside: 'stop when it looks good',
  play: async (vendor) => {
    const session = plannedSession(vendor.seed, {
      design: 'AB'.repeat(PAIRS),
      runsPerBlock: 1,
      pace: { ...ordinaryPace, conditioningRuns: 1 },
    })
    const comparison = issued(vendor, session)
    const plan = await registerPlan(vendor, { comparison, plan: { conditioningRuns: 1 } })
    const [warm, measured] = [comparison.runs.slice(0, 1), comparison.runs.slice(1)]
    for (let pairs = 2; pairs <= PAIRS; pairs += 1) {
      const made = { ...comparison, runs: [...warm, ...measured.slice(0, 2 * pairs)] }
      await sendAll(vendor, plan, made)
      const looksGood = (await seenAtHome(made)).claims[0]?.judgement === 'supported'
      if (looksGood) return endingOf(vendor, plan)
    }
    return endingOf(vendor, plan)
  },
}

const BANDS = Array.from({ length: 40 }, (_, k) => {
  const width_rpm = 1000 + 500 * (k % 5)
  const from_rpm = 3500 + 700 * Math.floor(k / 5)
  return { from_rpm, to_rpm: Math.min(from_rpm + width_rpm, 11_000) }
})

const bandShopping: RegisterStrategy = {
  id: `band shopping, ${BANDS.length} bands`,
  does: `registers one band, looks at ${BANDS.length} afterwards and claims every one of them`,
  stoppedBy: 'only registered claims are judged; others are exploratory',
  beside: `band shopping, ${BANDS.length} bands`,
  play: (vendor) =>
    played(vendor, {
      comparison: issued(vendor, plannedSession(vendor.seed)),
      exploratory: BANDS.map((band, k) => bandMeanClaim(`band ${k}`, LEAST_GAIN, band)),
    }),
}

const metricShopping: RegisterStrategy = {
  id: 'metric shopping',
  does: 'registers a band mean, and claims peak power, peak torque and eight engine speeds afterwards',
  stoppedBy: 'only registered claims are judged; others are exploratory',
  beside: 'metric shopping',
  play: (vendor) =>
    played(vendor, {
      comparison: issued(vendor, plannedSession(vendor.seed)),
      exploratory: [
        peakClaim('peak', LEAST_GAIN),
        { ...peakClaim('torque', { value: 0.01, unit: 'N m' }), quantity: 'wheel-torque' },
        ...[4000, 5000, 6000, 7000, 8000, 9000, 10_000, 10_500].map((speed) =>
          atSpeedClaim(`at ${speed}`, LEAST_GAIN, speed),
        ),
      ],
    }),
}

const FARMED = 5

const farmed = (vendor: Vendor, k: number) =>
  issued(vendor, plannedSession(childSeed(vendor.seed, `plan ${k}`)), `farm ${k}`)

const planFarming: RegisterStrategy = {
  id: `best of ${FARMED} plans`,
  does: `registers ${FARMED} plans for one product, runs all, has all assessed, publishes the best`,
  stoppedBy: 'alpha divided by the plans that were run and not published',
  beside: `best of ${FARMED} plans`,
  play: async (vendor) => {
    const comparisons = Array.from({ length: FARMED }, (_, k) => farmed(vendor, k))
    const plans = []
    for (const comparison of comparisons) plans.push(await registerPlan(vendor, { comparison }))
    for (const [k, plan] of plans.entries()) await sendAll(vendor, plan, comparisons[k] ?? fail())
    return best(plans.map((plan) => () => endingOf(vendor, plan)))
  },
}

const planAfterPlan: RegisterStrategy = {
  id: `up to ${FARMED} plans, one after another`,
  does: `registers a plan, has it assessed, and registers the next one for the same product until one is supported, at most ${FARMED}`,
  stoppedBy: null,
  beside: `best of ${FARMED} plans`,
  play: (vendor) =>
    best(Array.from({ length: FARMED }, (_, k) => () => played(vendor, { comparison: farmed(vendor, k) }))),
}

const copies: RegisterStrategy = {
  id: 'copies',
  does: 'makes one run a side and hands it in three times, rescaled by up to 0.1 % and with fresh noise',
  stoppedBy: 'copied runs are dropped; runs a side as planned',
  beside: 'copies',
  play: (vendor) =>
    played(vendor, { comparison: withCopies(issued(vendor, plannedSession(vendor.seed)), vendor.seed) }),
}

/** The first run of each side, three times. */
function withCopies(comparison: Comparison, seed: number): Comparison {
  const random = createRandom(seed).fork('copies')
  const first = (run: Run) => comparison.runs.find(({ side, purpose }) => side === run.side && purpose === 'measured')
  const runs = comparison.runs.map((run): Run => {
    const channels = first(run)?.channels
    const power = channels?.wheelPower?.values
    if (run.purpose !== 'measured' || run === first(run) || channels === undefined || power === undefined) return run
    const scale = 1 + 0.001 * (2 * random.uniform() - 1)
    const values = power.map((value) => value * scale * (1 + 0.0002 * random.normal()))
    return { ...run, channels: { ...channels, wheelPower: { unit: 'kW', values } } }
  })
  return { ...comparison, runs }
}

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

const oldBaseline: RegisterStrategy = {
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

const forgedBaseline: RegisterStrategy = {
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

const coldThenWarm: RegisterStrategy = {
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

const understated: RegisterStrategy = {
  id: 'understated record',
  does: 'states a quarter of the true re-mounting scatter, under the name of the study that the register issued',
  stoppedBy: 'the record is the one that the register issued, value for value',
  beside: 'understated record',
  play: (vendor) => played(vendor, { comparison: understatedRecord(issued(vendor, plannedSession(vendor.seed))) }),
}

const allAtOnce: RegisterStrategy = {
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
      exploratory: BANDS.map((band, k) => bandMeanClaim(`band ${k}`, LEAST_GAIN, band)),
    })
  },
}

const abortedPulls: RegisterStrategy = {
  id: 'aborting bad pulls',
  does: 'breaks off every pull after the change that looks below the middle, before the rig counts it',
  stoppedBy: null,
  beside: 'aborting bad pulls',
  play: (vendor) => {
    const session = plannedSession(vendor.seed, { runsPerBlock: 6 })
    const baseline = session.truth.runs.filter(({ state }) => state.slot.side === 'baseline').slice(0, 3)
    const kept = withOnly(session, [...baseline, ...ranked(session, 'modified').slice(-3)])
    return played(vendor, { comparison: issued(vendor, kept) })
  },
}

/** Last engine speed of a pull that is broken off once it was seen. [rpm] */
const SEEN_UP_TO_RPM = 10_400

const abortedAndCounted: RegisterStrategy = {
  id: 'aborting bad pulls, counted',
  does: `the same, late in the pull at ${SEEN_UP_TO_RPM} rpm: the rig counts it, and it is logged as aborted with its trace`,
  stoppedBy: null,
  beside: 'aborting bad pulls',
  play: (vendor) => {
    const session = plannedSession(vendor.seed, { runsPerBlock: 6 })
    const good = new Set(
      [
        ...session.truth.runs.filter(({ state }) => state.slot.side === 'baseline').slice(0, 3),
        ...ranked(session, 'modified').slice(-3),
      ].map(({ state }) => state.id),
    )
    const comparison = issued(vendor, session)
    const runs = comparison.runs.map(
      (run): Run => (run.purpose !== 'measured' || good.has(run.id) ? run : brokenOff(run)),
    )
    return played(vendor, { comparison: { ...comparison, runs } })
  },
}

function brokenOff(run: Run): Run {
  const speeds = run.channels?.engineSpeed?.values ?? []
  const power = run.channels?.wheelPower?.values ?? []
  const count = speeds.filter((speed) => speed <= SEEN_UP_TO_RPM).length
  return {
    ...run,
    purpose: 'aborted',
    channels: {
      engineSpeed: { unit: 'rpm', values: speeds.slice(0, count) },
      wheelPower: { unit: 'kW', values: power.slice(0, count) },
    },
  }
}

const NAMES = 5

const aliases: RegisterStrategy = {
  id: `${NAMES} product names`,
  does: `registers one product under ${NAMES} names and publishes the best`,
  stoppedBy: null,
  beside: `${NAMES} product names`,
  play: (vendor) =>
    best(
      Array.from({ length: NAMES }, (_, k) => () => {
        const comparison = issued(vendor, plannedSession(childSeed(vendor.seed, `name ${k}`)), `name ${k}`)
        return played({ ...vendor, product: `${vendor.product}, name ${k}` }, { comparison })
      }),
    ),
}

function fail(): never {
  throw new TypeError('there is a comparison for every plan')
}

/** All strategies, those that a plan stops first. */
export const registerStrategies: readonly RegisterStrategy[] = [
  honest(3),
  honest(1),
  pickingRuns(
    'best 3 of 8',
    'registers 3 runs a side, makes 8, and hands in the 3 lowest before and the 3 highest after',
    8,
  ),
  pickingRuns('trimming 2 of 5', 'registers 3 runs a side, makes 5, and drops the 2 that suit least', 5),
  stopping,
  bandShopping,
  metricShopping,
  planFarming,
  copies,
  oldBaseline,
  coldThenWarm,
  understated,
  allAtOnce,
  abortedPulls,
  abortedAndCounted,
  forgedBaseline,
  planAfterPlan,
  aliases,
]
