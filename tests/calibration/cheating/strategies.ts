/** Ways to get a product that does nothing supported. */
import type { Claim, Result, Run } from '@fairpull/sdk/contract'
import { createRandom, fullDisclosure, ordinaryNoise, ordinaryPace, type SimulatedSession } from '@fairpull/sdk/testing'
import { atSpeedClaim, bandMeanClaim, claimedBand, peakClaim } from '../claims.ts'
import { type Band, sidesOf } from '../naive.ts'
import { type Assess, childSeed } from '../study.ts'
import {
  ALPHA,
  handedIn,
  isSupported,
  LEAST_GAIN,
  naiveOutcome,
  nullSession,
  type Outcome,
  onlyP,
  ranked,
  withOnly,
  withoutTemperatures,
} from './null-product.ts'

/** A way to cheat, or not to. */
export interface Strategy {
  /** Name. */
  readonly id: string
  /** What the vendor does. */
  readonly does: string
  /** Why a plan stops it; null where it cannot. */
  readonly stoppedBy: string | null
  /** One product. */
  readonly play: (seed: number, assess: Assess) => Promise<Outcome>
}

const always = () => true
const never = () => false

const honest = (runs: number): Strategy => ({
  id: `honest, ${runs} a side`,
  does: `makes ${runs} run${runs === 1 ? '' : 's'} a side and hands in all`,
  stoppedBy: 'nothing to stop',
  play: (seed, assess) => handedIn(nullSession(seed, { runsPerBlock: runs }), assess, always),
})

const bestOfEight: Strategy = {
  id: 'best 3 of 8',
  does: 'makes 8 runs a side, hands in the 3 lowest before and the 3 highest after',
  stoppedBy: 'counter without gap; runs a side as planned',
  play: (seed, assess) => handedIn(bestRuns(nullSession(seed, { runsPerBlock: 8 }), 3), assess, never),
}

function bestRuns(session: SimulatedSession, count: number): SimulatedSession {
  return withOnly(session, [
    ...ranked(session, 'baseline').slice(0, count),
    ...ranked(session, 'modified').slice(-count),
  ])
}

const trimming: Strategy = {
  id: 'trimming 2 of 5',
  does: 'makes 5 runs a side and drops the 2 that suit least as outliers',
  stoppedBy: 'runs a side as planned; exclusion by rule only',
  play: (seed, assess) => handedIn(bestRuns(nullSession(seed, { runsPerBlock: 5 }), 3), assess, never),
}

const PAIRS = 8

const stopping: Strategy = {
  id: 'stop when it looks good',
  does: `interleaves runs on the rollers, looks after each pair from the second on, stops when supported, at most ${PAIRS} pairs`,
  stoppedBy: 'runs as planned: only the last look counts',
  play: async (seed, assess) => {
    const session = nullSession(seed, { design: 'AB'.repeat(PAIRS), runsPerBlock: 1 })
    const looks: Outcome[] = []
    for (let pairs = 2; pairs <= PAIRS; pairs += 1) {
      const outcome = await handedIn(withOnly(session, session.truth.runs.slice(0, 2 * pairs)), assess, always)
      looks.push({
        ...outcome,
        planned: outcome.unplanned && pairs === PAIRS && !looks.some(({ unplanned }) => unplanned),
      })
    }
    return anyOf(looks)
  },
}

/** Better of several attempts: what is published is whichever came out well. */
function anyOf(outcomes: readonly Outcome[]): Outcome {
  const some = (name: keyof Outcome) => outcomes.some((outcome) => outcome[name])
  return { unplanned: some('unplanned'), planned: some('planned'), welch: some('welch'), best: some('best') }
}

const BANDS: readonly Band[] = Array.from({ length: 40 }, (_, k) => {
  const width_rpm = 1000 + 500 * (k % 5)
  const from_rpm = 3500 + 700 * Math.floor(k / 5)
  return { from_rpm, to_rpm: Math.min(from_rpm + width_rpm, 11_000) }
})

const bandShopping: Strategy = {
  id: `band shopping, ${BANDS.length} bands`,
  does: `looks at ${BANDS.length} bands and claims the one that comes out best, alone`,
  stoppedBy: 'one band registered beforehand',
  play: (seed, assess) => {
    const claims = BANDS.map((band, k) => bandMeanClaim(`band ${k}`, LEAST_GAIN, band))
    return shopping(nullSession(seed, { claims }), BANDS, assess, always)
  },
}

const metricShopping: Strategy = {
  id: 'metric shopping',
  does: 'looks at band mean, peak power, peak torque and eight engine speeds and claims the best, alone',
  stoppedBy: 'one metric registered beforehand',
  play: (seed, assess) => {
    const claims: readonly Claim[] = [
      bandMeanClaim('band-mean', LEAST_GAIN),
      peakClaim('peak', LEAST_GAIN),
      { ...peakClaim('torque', { value: 0.01, unit: 'N m' }), quantity: 'wheel-torque' },
      ...[4000, 5000, 6000, 7000, 8000, 9000, 10_000, 10_500].map((speed) =>
        atSpeedClaim(`at ${speed}`, LEAST_GAIN, speed),
      ),
    ]
    const bands = [
      claimedBand,
      ...[4000, 5000, 6000, 7000, 8000, 9000, 10_000, 10_500].map((from_rpm) => ({ from_rpm, to_rpm: from_rpm })),
    ]
    return shopping(nullSession(seed, { claims }), bands, assess, always)
  },
}

/** A claim made alone is supported when its unadjusted interval lies above the claimed gain. */
async function shopping(
  session: SimulatedSession,
  bands: readonly Band[],
  assess: Assess,
  isAsPlanned: (result: Result) => boolean,
): Promise<Outcome> {
  const result = await assess(session.comparison)
  const alone = result.claims.map((claim) => isAbove(claim.interval.low, session, claim.claim) && claim.reason === null)
  const naive = bands.map((band) => naiveOutcome(sidesOf(session.truth, band)))
  return {
    unplanned: result.standing !== 'invalid' && alone.some(Boolean),
    planned: result.standing !== 'invalid' && alone[0] === true && isAsPlanned(result),
    welch: naive.some(({ welch }) => welch),
    best: naive.some(({ best }) => best),
  }
}

function isAbove(low: number | null, { comparison }: SimulatedSession, id: string): boolean {
  const claimed = comparison.claims?.find((claim) => claim.id === id)?.gain.value
  return low !== null && claimed !== undefined && low >= claimed
}

const FARMED = 5

const planFarming: Strategy = {
  id: `best of ${FARMED} plans`,
  does: `registers ${FARMED} plans for one product, runs all, publishes the best`,
  stoppedBy: 'alpha divided by the plans that were run and not published',
  play: async (seed, assess) => {
    const outcomes: Outcome[] = []
    for (let plan = 0; plan < FARMED; plan += 1) {
      const session = nullSession(childSeed(seed, `plan ${plan}`))
      const p = onlyP(await assess(session.comparison))
      outcomes.push({
        unplanned: p <= ALPHA,
        planned: p <= ALPHA / FARMED,
        ...naiveOutcome(sidesOf(session.truth, claimedBand)),
      })
    }
    return anyOf(outcomes)
  },
}

const copies: Strategy = {
  id: 'copies',
  does: 'makes one run a side and hands it in three times, rescaled by up to 0.1 % and with fresh noise',
  stoppedBy: 'copied runs are dropped; runs a side as planned',
  play: (seed, assess) => {
    const session = nullSession(seed, { runsPerBlock: 3 })
    return handedIn(withCopies(session, seed), assess, ({ accounting }) => {
      return accounting.perSide.baseline === 3 && accounting.perSide.modified === 3
    })
  },
}

/** The first run of each side, three times. */
function withCopies({ comparison, truth }: SimulatedSession, seed: number): SimulatedSession {
  const random = createRandom(seed).fork('copies')
  const first = (run: Run) => comparison.runs.find(({ side, purpose }) => side === run.side && purpose === 'measured')
  const copied = (run: Run): Run => {
    const channels = first(run)?.channels
    const power = channels?.wheelPower?.values
    if (run.purpose !== 'measured' || run === first(run) || channels === undefined || power === undefined) return run
    const scale = 1 + 0.001 * (2 * random.uniform() - 1)
    const values = power.map((value) => value * scale * (1 + 0.0002 * random.normal()))
    return { ...run, channels: { ...channels, wheelPower: { unit: 'kW', values } } }
  }
  const source = (side: string) => truth.runs.find(({ state }) => state.slot.side === side)
  const runs = truth.runs.map((run) => source(run.state.slot.side) ?? run)
  return { comparison: { ...comparison, runs: comparison.runs.map(copied) }, truth: { ...truth, runs } }
}

/** Facilities repeat less well over days than from strapping to strapping; an old baseline hides the difference. */
const HIDDEN_DAYS = Math.SQRT2

const oldBaseline: Strategy = {
  id: 'old baseline',
  does: 'takes the lowest of four baselines of earlier days and passes it off as made today',
  stoppedBy: 'all runs belong to one session',
  play: (seed, assess) => {
    const noise = { ...ordinaryNoise, remounting_1: ordinaryNoise.remounting_1 * HIDDEN_DAYS }
    const disclosure = { ...fullDisclosure, statedOverTrueRemounting_1: 1 / HIDDEN_DAYS }
    const session = nullSession(seed, { design: 'A|A|A|A|B', noise, disclosure })
    const lowest = ranked(session, 'baseline')[0]?.state.slot.mounting
    const kept = session.truth.runs.filter(
      ({ state }) => state.slot.side === 'modified' || state.slot.mounting === lowest,
    )
    return handedIn(withOnly(session, kept), assess, never)
  },
}

const WARM_UP = { isSteady: false, driftPerRun_1: 0, warmUp_1: 0.01 }

const coldThenWarm: Strategy = {
  id: 'cold before, warm after',
  does: 'runs the baseline on a cold engine that gains 1 % as it warms, and records no engine temperature',
  stoppedBy: 'three conditioning runs, or engine temperatures that agree',
  play: (seed, assess) => {
    const session = nullSession(seed, { design: 'AB', trend: WARM_UP, pace: { ...ordinaryPace, conditioningRuns: 0 } })
    return handedIn({ ...session, comparison: withoutTemperatures(session.comparison) }, assess, never)
  },
}

const UNDERSTATED = 0.25

const understated: Strategy = {
  id: 'understated record',
  does: 'states a quarter of the true re-mounting scatter',
  stoppedBy: 'the record comes from the register, not from the vendor',
  play: async (seed, assess) => {
    const disclosure = { ...fullDisclosure, statedOverTrueRemounting_1: UNDERSTATED }
    const stated = await handedIn(nullSession(seed, { disclosure }), assess, never)
    const registered = await handedIn(nullSession(seed), assess, always)
    return { ...stated, planned: registered.planned }
  },
}

const allAtOnce: Strategy = {
  id: 'all at once',
  does: 'best 3 of 8, understated record, cold before and warm after, 40 bands',
  stoppedBy: 'all of the above',
  play: (seed, assess) => {
    const session = nullSession(seed, {
      runsPerBlock: 8,
      trend: WARM_UP,
      disclosure: { ...fullDisclosure, statedOverTrueRemounting_1: UNDERSTATED },
      claims: BANDS.map((band, k) => bandMeanClaim(`band ${k}`, LEAST_GAIN, band)),
    })
    const chosen = bestRuns(session, 3)
    return shopping({ ...chosen, comparison: withoutTemperatures(chosen.comparison) }, BANDS, assess, never)
  },
}

const abortedPulls: Strategy = {
  id: 'aborting bad pulls',
  does: 'breaks off every pull after the change that looks below the middle, before the rig counts it',
  stoppedBy: null,
  play: (seed, assess) => {
    const session = nullSession(seed, { runsPerBlock: 6 })
    const kept = [
      ...session.truth.runs.filter(({ state }) => state.slot.side === 'baseline').slice(0, 3),
      ...ranked(session, 'modified').slice(-3),
    ]
    return handedIn(withOnly(session, kept), assess, always)
  },
}

const NAMES = 5

const aliases: Strategy = {
  id: `${NAMES} product names`,
  does: `registers one product under ${NAMES} names and publishes the best`,
  stoppedBy: null,
  play: async (seed, assess) => {
    const outcomes: Outcome[] = []
    for (let name = 0; name < NAMES; name += 1) {
      outcomes.push(
        await handedIn(nullSession(childSeed(seed, `name ${name}`)), assess, (result) => isSupported(result)),
      )
    }
    return anyOf(outcomes)
  },
}

/** All strategies, those that a plan stops first. */
export const strategies: readonly Strategy[] = [
  honest(3),
  honest(1),
  bestOfEight,
  trimming,
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
  aliases,
]
