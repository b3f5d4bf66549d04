/** Runs that are chosen once they are seen. */
import type { Comparison, Run } from '@fairpull/sdk/contract'
import { createRandom, ordinaryPace, type SimulatedSession } from '@fairpull/sdk/testing'
import { ranked, withOnly } from '../../calibration/cheating/null-product.ts'
import { best, issued, type RegisterStrategy } from './attempt.ts'
import { endingOf, plannedSession, played, registerPlan, seenAtHome, sendAll } from './vendor.ts'

/** The lowest before and the highest after. */
export function bestRuns(session: SimulatedSession, count: number) {
  return [...ranked(session, 'baseline').slice(0, count), ...ranked(session, 'modified').slice(-count)]
}

/** A document with the chosen runs only, under the numbers that the rig really gave them. */
export function onlyRuns(comparison: Comparison, chosen: ReadonlySet<string>): Comparison {
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

/** More runs are made than planned, and those that suit are handed in. */
export function pickingRuns(id: string, does: string, made: number): RegisterStrategy {
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

/** The plan is closed as soon as it looks good. */
export const stopping: RegisterStrategy = {
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

/** One run a side, three times. */
export const copies: RegisterStrategy = {
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

/** Pulls that the rig never counts. */
export const abortedPulls: RegisterStrategy = {
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

/** Pulls that are broken off late. */
export const abortedAndCounted: RegisterStrategy = {
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
