/** Comparisons of every kind that the simulator makes, and of those that somebody wrote down badly. */
import type { Claim, Comparison, Run } from '@fairpull/sdk/contract'
import {
  createRandom,
  drawDisclosure,
  ordinaryFaults,
  type Random,
  type SessionRecipe,
  simulateSession,
} from '@fairpull/sdk/testing'

const DESIGNS = ['AB', 'ABA', 'ABAB', 'A|B', 'A|B|A', 'A|B|A|B', 'AB|AB', 'A|A|A|B|B|B', 'A/B', 'A|B/A|B'] as const

/** Faults whose evidence the other implementation is given. */
const FAULTS = [
  'gear',
  'duplicate',
  'order',
  'clipped',
  'tyre-pressure',
  'strap',
  'starvation-with-lambda',
  'starvation-without-lambda',
  'smoothing',
  'heat-soak',
] as const

const rpm = (value: number) => ({ value, unit: 'rpm' }) as const
const BAND = { from: rpm(4500), to: rpm(9500) } as const

/** Every kind of claim once, but for its value. */
const CLAIMS: readonly Omit<Claim, 'gain'>[] = [
  { id: 'mean', quantity: 'wheel-power', over: { kind: 'band-mean', ...BAND }, relation: 'at-least' },
  { id: 'mean-most', quantity: 'wheel-power', over: { kind: 'band-mean', ...BAND }, relation: 'at-most' },
  { id: 'peak', quantity: 'wheel-power', over: { kind: 'peak' }, relation: 'at-least' },
  { id: 'peak-torque', quantity: 'wheel-torque', over: { kind: 'peak' }, relation: 'at-least' },
  { id: 'at-speed', quantity: 'wheel-power', over: { kind: 'at-speed', speed: rpm(8010) }, relation: 'at-least' },
  { id: 'everywhere', quantity: 'wheel-power', over: { kind: 'everywhere', ...BAND }, relation: 'at-least' },
  { id: 'anywhere', quantity: 'wheel-power', over: { kind: 'anywhere', ...BAND }, relation: 'at-least' },
  { id: 'equal', quantity: 'wheel-power', over: { kind: 'band-mean', ...BAND }, relation: 'equals-within' },
]

/** What may be missing from a session, or odd about it, each so often. [1] */
const ODDITIES: readonly {
  readonly name: string
  readonly share: number
  readonly make: (comparison: Comparison, random: Random) => Comparison
}[] = [
  { name: 'no start of one run', share: 0.15, make: (c, random) => withRun(c, random, without('startedAt')) },
  { name: 'no starts', share: 0.1, make: (c) => ({ ...c, runs: c.runs.map(without('startedAt')) }) },
  { name: 'no mounting of one run', share: 0.12, make: (c, random) => withRun(c, random, without('mounting')) },
  { name: 'no mountings', share: 0.12, make: (c) => ({ ...c, runs: c.runs.map(without('mounting')) }) },
  { name: 'no humidity of one run', share: 0.12, make: (c, random) => withRun(c, random, withoutHumidity) },
  {
    name: 'no engine temperature of one run',
    share: 0.15,
    make: (c, random) => withRun(c, random, withoutEngineTemperature),
  },
  { name: 'values of a network', share: 0.2, make: withNetwork },
  { name: 'one run excluded', share: 0.2, make: withExclusion },
  { name: 'one run missing', share: 0.2, make: withoutOneRun },
]

/** A drawn comparison. */
export interface DrawnComparison {
  readonly seed: number
  /** What is odd about it, in words. */
  readonly oddities: readonly string[]
  readonly comparison: Comparison
}

/** Draws a comparison. The same seed gives the same one. */
export function drawnComparison(seed: number): DrawnComparison {
  const random = createRandom(seed).fork('agreement')
  const fault = random.uniform() < 0.3 ? random.pick(FAULTS) : null
  const recipe: SessionRecipe = {
    seed,
    design: random.pick(DESIGNS),
    runsPerBlock: random.pick([1, 2, 3, 4]),
    gain: drawnGain(random),
    claims: drawnClaims(random),
    disclosure: drawDisclosure(random),
    trend: { isSteady: false, driftPerRun_1: random.uniform() < 0.15 ? 0.004 : 0, warmUp_1: 0 },
    sampling: random.pick([
      { by: 'speed', step_rpm: 100 },
      { by: 'speed', step_rpm: 10 },
      { by: 'time', rate_Hz: 50 },
    ]),
    faults: fault === null ? [] : [ordinaryFaults[fault]],
  }
  // Where mountings have to be guessed from an order that is itself in doubt, the text does not say from which one.
  const isGuessedTwice = (name: string) => fault === 'order' && name.startsWith('no mounting')
  const odd = ODDITIES.filter(({ name, share }) => random.uniform() < share && !isGuessedTwice(name))
  return {
    seed,
    oddities: [...(fault === null ? [] : [fault]), ...odd.map(({ name }) => name)],
    comparison: odd.reduce(
      (comparison, { name, make }) => make(comparison, random.fork(name)),
      simulateSession(recipe).comparison,
    ),
  }
}

function drawnGain(random: Random): SessionRecipe['gain'] {
  if (random.uniform() < 0.5) return { shape: 'uniform', percent: 6 * random.uniform() - 1 }
  const height_percent = 4 * random.uniform()
  return { shape: 'hump', floor_percent: 1, height_percent, at_rpm: 7000, width_rpm: 1200 }
}

/** About half of all kinds, at least one; most in per cent, some powers in hp: the text rounds the factor that gives N m. */
function drawnClaims(random: Random): readonly Claim[] {
  const drawn = CLAIMS.filter(() => random.uniform() < 0.5)
  return (drawn.length === 0 ? CLAIMS.slice(0, 1) : drawn).map((claim) => {
    const value = Math.round(50 * random.uniform() - 5) / 10
    const unit = random.uniform() < 0.3 && claim.quantity === 'wheel-power' ? 'hp' : '%'
    const tolerance = claim.relation === 'equals-within' ? { tolerance: { value: 2, unit } as const } : {}
    return { ...claim, gain: { value, unit }, ...tolerance }
  })
}

function measuredRuns({ runs }: Comparison): readonly [Run, ...Run[]] {
  const [first, ...rest] = runs.filter(({ purpose }) => purpose === 'measured')
  if (first === undefined) throw new RangeError('a simulated session has measured runs')
  return [first, ...rest]
}

function withRun(comparison: Comparison, random: Random, change: (run: Run) => Run): Comparison {
  const chosen = random.pick(measuredRuns(comparison))
  return { ...comparison, runs: comparison.runs.map((run) => (run === chosen ? change(run) : run)) }
}

function without(member: 'startedAt' | 'mounting') {
  return ({ [member]: _, ...run }: Run): Run => run
}

function withoutHumidity({ conditions, ...run }: Run): Run {
  const { relativeHumidity: _, ...rest } = conditions ?? {}
  return { ...run, conditions: rest }
}

function withoutEngineTemperature({ conditions, ...run }: Run): Run {
  const { coolantTemperature: _, oilTemperature: __, ...rest } = conditions ?? {}
  return { ...run, conditions: rest }
}

/** What the facility does not record, pooled over others; some on few degrees of freedom. */
function withNetwork(comparison: Comparison, random: Random): Comparison {
  const { facility = { id: 'rig' } } = comparison
  const group = { relativeSd: 0.005, degreesOfFreedom: random.pick([2, 8]), status: 'network' } as const
  const record = { repeatability: group, remounting: group, day: group, ...facility.record }
  return { ...comparison, facility: { ...facility, record } }
}

function withExclusion(comparison: Comparison, random: Random): Comparison {
  const { id } = random.pick(measuredRuns(comparison))
  return { ...comparison, excluded: [{ run: id, rule: 'operator', reason: 'The throttle was shut early.' }] }
}

/** A run that is not alone in its block: the conditioning of a block without one would still part its neighbours. */
function withoutOneRun(comparison: Comparison, random: Random): Comparison {
  const runs = measuredRuns(comparison)
  const chosen = random.pick(runs)
  const at = runs.indexOf(chosen)
  const isAlone = [runs[at - 1], runs[at + 1]].every((next) => next?.side !== chosen.side)
  return isAlone ? comparison : { ...comparison, runs: comparison.runs.filter((run) => run !== chosen) }
}
