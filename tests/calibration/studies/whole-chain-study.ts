/** Comparisons as they come: any design, any record, some with a fault; claims that are true and claims that are not. */
import type { Claim, Result } from '@fairpull/sdk/contract'
import { holm, normal, weightedGraph } from '@fairpull/sdk/engine'
import {
  createRandom,
  disclosureMix,
  drawDisclosure,
  type OrdinaryFaultName,
  oracleGain,
  ordinaryFaults,
  ordinaryNoise,
  type Random,
  referenceMachine,
  type SimulatedSession,
  simulateSession,
  type TrueGain,
  type Truth,
  trueValueOf,
} from '@fairpull/sdk/testing'
import { atSpeedClaim, bandMeanClaim, claimedBand, peakClaim, percent } from '../claims.ts'
import { names } from '../expected-findings.ts'
import { table } from '../markdown.ts'
import { type Band, bestAgainstBest_percent, sidesOf, welchOf, welchSupports } from '../naive.ts'
import { printedShare } from '../proportion.ts'
import { type Assess, added, type Cell, type CellResults, countOf, type Study, type Tally } from '../study.ts'

/** Designs of one day, and designs that take two: most comparisons are made in one. */
const ONE_DAY = ['AB', 'ABA', 'ABAB', 'A|B', 'A|B|A', 'A|B|A|B', 'AB|AB', 'A|A|A|B|B|B'] as const
const TWO_DAYS = ['A/B', 'A|B/A|B'] as const

/** Share of comparisons that take two days. */
const TWO_DAY_SHARE = 0.1

const FAULTS = Object.keys(ordinaryFaults) as OrdinaryFaultName[]

/** Share of comparisons with nothing wrong. */
const CLEAN_SHARE = 0.55

/** Largest distance of a claim from the truth. [%] */
const LARGEST_DISTANCE = 3

/** From this distance on a true claim should be supported. [%] */
const CLEAR_SLACK = 1.4

/** One-sided level of all claims of a comparison together. */
const ALPHA = 0.025

/**
 * How many comparisons make one claim, two and three. Assumed, no source; chosen so that the correction for several claims costs
 * an oracle 5 to 6 points of support, as measurement-model §13 found.
 */
const SHARES_OF_CLAIMS = [0.4, 0.35, 0.25] as const

/** Engine speed at which the unmodified reference machine has its peak power. [rpm] */
const PEAK_RPM = 10_000

/** Half the width of the band that an oracle reads the power at one engine speed from. [rpm] */
const HALF_SPEED_BAND_RPM = 50

interface DrawnClaim {
  readonly claim: Claim
  /** Truth minus claimed value. [%] */
  readonly slack: number
}

interface Drawn {
  readonly session: SimulatedSession
  readonly fault: OrdinaryFaultName | null
  readonly claims: readonly DrawnClaim[]
}

function drawn(seed: number): Drawn {
  const random = createRandom(seed).fork('choices')
  const gain = drawnGain(random)
  const claims = drawnClaims(gain, random).slice(0, numberOfClaims(random.fork('number of claims')))
  const fault =
    random.uniform() < CLEAN_SHARE ? null : random.pick(FAULTS as [OrdinaryFaultName, ...OrdinaryFaultName[]])
  const session = simulateSession({
    seed,
    design: random.uniform() < TWO_DAY_SHARE ? random.pick(TWO_DAYS) : random.pick(ONE_DAY),
    runsPerBlock: random.pick([1, 2, 3, 4, 6]),
    gain,
    claims: claims.map(({ claim }) => claim),
    disclosure: drawDisclosure(random),
    faults: fault === null ? [] : [ordinaryFaults[fault]],
  })
  return { session, fault, claims }
}

function numberOfClaims(random: Random): number {
  const at = random.uniform()
  const [one, two] = SHARES_OF_CLAIMS
  return at < one ? 1 : at < one + two ? 2 : 3
}

function drawnGain(random: Random): TrueGain {
  const size = 7 * random.uniform() - 1
  if (random.uniform() < 0.5) return { shape: 'uniform', percent: size }
  const at_rpm = 5000 + 4000 * random.uniform()
  return { shape: 'hump', floor_percent: size / 3, height_percent: size, at_rpm, width_rpm: 1500 }
}

/** A claim of each kind, each as likely true as false, at a distance of up to 3 % from the truth. */
function drawnClaims(gain: TrueGain, random: Random): readonly DrawnClaim[] {
  const makers = [
    (value: number) => bandMeanClaim('band-mean', percent(value)),
    (value: number) => peakClaim('peak', percent(value)),
    (value: number) => atSpeedClaim('at-speed', percent(value), 8000),
  ]
  return makers.map((make) => {
    const distance = LARGEST_DISTANCE * random.uniform()
    const slack = random.uniform() < 0.5 ? distance : -distance
    return { claim: make(trueValueOf(make(0), referenceMachine, gain) - slack), slack }
  })
}

const cell: Cell = { id: 'mixed', score: async (seed, assess) => scoreOf(drawn(seed), assess) }

async function scoreOf({ session, fault, claims }: Drawn, assess: Assess): Promise<Tally> {
  const result = await assess(session.comparison)
  const kind = kindOf(result, fault)
  const record = recordName(session)
  const tallies = [
    ...claims.map((drawnClaim) => claimScore(drawnClaim, result, kind)),
    naiveScore(claims[0], session, kind),
    ...withRecord(oracleScore(claims, session, kind), record),
    ...withRecord(await primaryScore(claims, session, kind, assess), record),
    await networkScore(claims, session, kind, assess),
  ]
  return tallies.reduce(added, { sessions: 1, [`${kind} sessions`]: 1 })
}

/** The same counts a second time, under the name of the record. */
function withRecord(tally: Tally, record: string): readonly Tally[] {
  return [tally, Object.fromEntries(Object.entries(tally).map(([name, count]) => [`${record}: ${name}`, count]))]
}

function recordName({ truth }: SimulatedSession): string {
  return disclosureMix.find(({ disclosure }) => disclosure === truth.recipe.disclosure)?.name ?? 'another record'
}

/** What a session counts as: nothing wrong; wrong and named, or refused; wrong and nobody noticed. */
function kindOf(result: Result, fault: OrdinaryFaultName | null): 'sound' | 'flagged' | 'unnoticed' {
  if (fault === null) return 'sound'
  return result.standing === 'invalid' || names(result, fault) ? 'flagged' : 'unnoticed'
}

function claimScore({ claim, slack }: DrawnClaim, result: Result, kind: string): Tally {
  const judged = result.claims.find(({ claim: id }) => id === claim.id)
  const isSupported = judged?.judgement === 'supported'
  const truth = claim.gain.value + slack
  const { low, high } = judged?.interval ?? { low: null, high: null }
  const hasInterval = low !== null && high !== null && result.standing !== 'invalid'
  return {
    ...counted(`${kind} false claims`, slack < 0, `${kind} false supported`, isSupported),
    ...counted(`${kind} clear claims`, slack >= CLEAR_SLACK, `${kind} clear supported`, isSupported),
    ...counted(`${kind} intervals`, hasInterval, `${kind} covers`, hasInterval && low <= truth && truth <= high),
  }
}

function naiveScore(first: DrawnClaim | undefined, { truth }: SimulatedSession, kind: string): Tally {
  if (first === undefined) return {}
  const x = first.claim.gain.value
  const levels = sidesOf(truth, claimedBand)
  const best = bestAgainstBest_percent(levels) >= x
  const welch = welchSupports(welchOf(levels), x)
  return {
    ...counted(`${kind} naive false`, first.slack < 0, `${kind} best false`, best),
    ...counted(`${kind} naive clear`, first.slack >= CLEAR_SLACK, `${kind} best clear`, best),
    [`${kind} welch false`]: Number(first.slack < 0 && welch),
    [`${kind} welch clear`]: Number(first.slack >= CLEAR_SLACK && welch),
  }
}

/** Somebody who knows every variance, on the first claim alone and on all of them with the correction for their number. */
function oracleScore(claims: readonly DrawnClaim[], { truth }: SimulatedSession, kind: string): Tally {
  const ps = claims.map((claim) => oracleP(claim, truth))
  const adjusted = holm(ps)
  return claims
    .map(({ slack }, i): Tally => {
      const isClear = slack >= CLEAR_SLACK
      return {
        ...counted(`${kind} oracle together`, isClear, `${kind} oracle together clear`, (adjusted[i] ?? 1) <= ALPHA),
        ...(i === 0 ? counted(`${kind} oracle`, isClear, `${kind} oracle clear`, (ps[i] ?? 1) <= ALPHA) : {}),
      }
    })
    .reduce(added, {})
}

/** One-sided p of somebody who knows every variance, and where the power peaks. */
function oracleP({ claim, slack }: DrawnClaim, truth: Truth): number {
  const { x, place } = { x: claim.gain.value, place: placeOf(claim) }
  const { estimate, standardDeviation } = oracleGain(truth, bandOf(place))
  const error = estimate - Math.log1p(trueValueOf(place, referenceMachine, truth.recipe.gain) / 100)
  return normal.cdf((Math.log1p(x / 100) - Math.log1p((x + slack) / 100) - error) / standardDeviation)
}

/** Where the power of a claim is read: a peak scatters as the power does at the speed of the unmodified peak. */
function placeOf(claim: Claim): Claim {
  return claim.over.kind === 'peak' ? atSpeedClaim(claim.id, claim.gain, PEAK_RPM) : claim
}

function bandOf({ over }: Claim): Band {
  if (over.kind !== 'at-speed') return claimedBand
  return { from_rpm: over.speed.value - HALF_SPEED_BAND_RPM, to_rpm: over.speed.value + HALF_SPEED_BAND_RPM }
}

/** The first claim as the primary one of a plan, which weighs it above the others. */
async function primaryScore(
  claims: readonly DrawnClaim[],
  { comparison }: SimulatedSession,
  kind: string,
  assess: Assess,
): Promise<Tally> {
  if (claims[0] === undefined || claims[0].slack < CLEAR_SLACK) return {}
  const alone = claims.map(async ({ claim }) => (await assess({ ...comparison, claims: [claim] })).claims[0])
  const judged = await Promise.all(alone)
  const adjusted = weightedGraph(
    judged.map((each) => each?.supportP ?? 1),
    0,
  )
  const isSupported = judged[0]?.judgement === 'supported' && (adjusted[0] ?? 1) <= ALPHA
  return { [`${kind} primary clear`]: 1, [`${kind} primary supported`]: Number(isSupported) }
}

/** What facilities of this kind have in common: the sizes that the simulated ones scatter about, so the network is right. */
const NETWORK_GROUP = { degreesOfFreedom: 8, status: 'network' } as const
const NETWORK = {
  repeatability: { ...NETWORK_GROUP, relativeSd: ordinaryNoise.repeatability_1 },
  remounting: { ...NETWORK_GROUP, relativeSd: ordinaryNoise.remounting_1 },
  day: { ...NETWORK_GROUP, relativeSd: ordinaryNoise.day_1 },
} as const

/**
 * Claims where a network fills what the facility does not record: the first alone, at the whole of alpha, and all together.
 * Supported, or supported conditionally on the network.
 */
async function networkScore(
  claims: readonly DrawnClaim[],
  { comparison }: SimulatedSession,
  kind: string,
  assess: Assess,
): Promise<Tally> {
  if (comparison.facility === undefined) return {}
  const facility = { ...comparison.facility, record: { ...NETWORK, ...comparison.facility.record } }
  const scores = [claims.slice(0, 1), claims].map(async (asked, i): Promise<Tally> => {
    const name = `${kind} network ${i === 0 ? 'alone' : 'together'}`
    const result = await assess({ ...comparison, facility, claims: asked.map(({ claim }) => claim) })
    return asked
      .map(({ claim, slack }) => {
        const judged = result.claims.find(({ claim: id }) => id === claim.id)
        const isSupported = [judged?.judgement, judged?.conditional?.judgement].includes('supported')
        return {
          ...counted(`${name} false`, slack < 0, `${name} false supported`, isSupported),
          ...counted(`${name} clear`, slack >= CLEAR_SLACK, `${name} clear supported`, isSupported),
        }
      })
      .reduce(added, {})
  })
  return (await Promise.all(scores)).reduce(added, {})
}

function counted(of: string, isCounted: boolean, hits: string, isHit: boolean): Tally {
  return isCounted ? { [of]: 1, [hits]: Number(isHit) } : {}
}

function pageOf(results: CellResults): string {
  const tally = results.get(cell.id)
  const share = (hits: string, of: string) => printedShare({ hits: countOf(tally, hits), of: countOf(tally, of) })
  const rows = [
    ['coverage of 95 % intervals, nothing wrong', share('sound covers', 'sound intervals'), '–', '–', '94–98'],
    [
      'false support, nothing wrong',
      share('sound false supported', 'sound false claims'),
      share('sound welch false', 'sound naive false'),
      share('sound best false', 'sound naive false'),
      'at most 0.5',
    ],
    [
      'false support, something wrong and nobody noticed',
      share('unnoticed false supported', 'unnoticed false claims'),
      share('unnoticed welch false', 'unnoticed naive false'),
      share('unnoticed best false', 'unnoticed naive false'),
      'at most 1.5',
    ],
    [
      'false support, something wrong and named',
      share('flagged false supported', 'flagged false claims'),
      share('flagged welch false', 'flagged naive false'),
      share('flagged best false', 'flagged naive false'),
      'reported',
    ],
    [
      `support with ${CLEAR_SLACK} % slack or more, all claims of a comparison`,
      share('sound clear supported', 'sound clear claims'),
      share('sound welch clear', 'sound naive clear'),
      share('sound best clear', 'sound naive clear'),
      'at least 58',
    ],
    [
      `support with ${CLEAR_SLACK} % slack or more, primary claim`,
      share('sound primary supported', 'sound primary clear'),
      '–',
      '–',
      'at least 66',
    ],
    ...(
      [
        ['together', 'all claims of a comparison', 'at least 58, if a network counts'],
        ['alone', 'primary claim, at the whole of alpha', 'at least 66, if a network counts (§13 has 65.9)'],
      ] as const
    ).flatMap(([name, words, target]) => [
      [
        `support with that slack, conditionally on a network counted too, ${words}`,
        share(`sound network ${name} clear supported`, `sound network ${name} clear`),
        '–',
        '–',
        target,
      ],
      [
        `false support, conditionally on a network counted too, ${words}`,
        share(`sound network ${name} false supported`, `sound network ${name} false`),
        '–',
        '–',
        'measurement-model §9 has at most 3.4',
      ],
    ]),
    [
      'the same primary claims, each alone, by an oracle that knows every variance',
      share('sound oracle clear', 'sound oracle'),
      '–',
      '–',
      'measurement-model §13 has 83.8',
    ],
    [
      'all claims of a comparison, with the correction for their number, by that oracle',
      share('sound oracle together clear', 'sound oracle together'),
      '–',
      '–',
      'measurement-model §13 has 78.3',
    ],
  ]
  return [
    '## Comparisons as they come',
    '',
    `${countOf(tally, 'sessions')} comparisons: ${ONE_DAY.length + TWO_DAYS.length} designs, 1 to 6 runs a block, the mix of facility records, ${(100 * CLEAN_SHARE).toFixed(0)} % with nothing wrong. One`,
    `to three claims each, as often true as false, at most ${LARGEST_DISTANCE} % from the truth. Welch and best against best judge the band mean alone.`,
    'The primary claim is judged as a plan would weigh it. Shares of designs, records and numbers of claims are assumptions; what an',
    'oracle reaches says how hard this mix is.',
    '',
    table(['', 'this method', 'Welch on the runs', 'best against best', 'target'], rows),
    '',
    'Primary claims with that slack, by what the facility record holds:',
    '',
    table(['record', 'this method', 'oracle'], recordRows(share)),
  ].join('\n')
}

function recordRows(share: (hits: string, of: string) => string): readonly (readonly string[])[] {
  return disclosureMix.map(({ name }) => {
    const of = `${name}: sound primary clear`
    return [
      name,
      share(`${name}: sound primary supported`, of),
      share(`${name}: sound oracle clear`, `${name}: sound oracle`),
    ]
  })
}

/** The study. */
export const wholeChainStudy: Study = {
  id: 'whole-chain',
  sessions: { test: 120, default: 1500, full: 20_000 },
  cells: [cell],
  page: pageOf,
}
