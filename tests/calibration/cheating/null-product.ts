/** Products that do nothing, and what a vendor may hand in for them. */
import type { Comparison, Result, Run, Side } from '@fairpull/sdk/contract'
import { type SessionRecipe, type SimulatedSession, simulateSession, type TrueRun } from '@fairpull/sdk/testing'
import { bandMeanClaim, claimedBand } from '../claims.ts'
import { bestAgainstBest_percent, type Levels, levelsOf, sidesOf, welchOf, welchSupports } from '../naive.ts'
import type { Assess } from '../study.ts'

/** The least that can be claimed: more than nothing. */
export const LEAST_GAIN = { value: 0.01, unit: 'hp' } as const

/** The same as a share of the band mean, about. [%] */
const LEAST_GAIN_PERCENT = 0.012

/** Alpha of a judgement, one-sided. */
export const ALPHA = 0.025

/** A session with a product that does nothing and an honest full record, unless the recipe says otherwise. */
export function nullSession(seed: number, recipe: Partial<SessionRecipe> = {}): SimulatedSession {
  return simulateSession({
    seed,
    design: 'A|B',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: 0 },
    claims: [bandMeanClaim('band-mean', LEAST_GAIN)],
    channels: 'power-only',
    ...recipe,
  })
}

/** What comes of one product under a strategy. */
export interface Outcome {
  /** Supported by this method, no plan registered. */
  readonly unplanned: boolean
  /** Supported by this method under a registered plan, and as planned. */
  readonly planned: boolean
  /** Supported by a one-sided Welch test on the runs handed in. */
  readonly welch: boolean
  /** Positive when the best runs handed in are compared. */
  readonly best: boolean
}

/** Whether the first claim is supported. */
export function isSupported(result: Result): boolean {
  return result.claims[0]?.judgement === 'supported'
}

/** The p of the only claim; no correction is in it. */
export function onlyP(result: Result): number {
  return isSupported(result) ? (result.claims[0]?.supportP ?? 1) : 1
}

/** What naive readers make of the runs handed in. */
export function naiveOutcome(levels: Levels): Pick<Outcome, 'welch' | 'best'> {
  return {
    welch: welchSupports(welchOf(levels), LEAST_GAIN_PERCENT),
    best: bestAgainstBest_percent(levels) > LEAST_GAIN_PERCENT,
  }
}

/** The outcome of handing in everything, honestly or not; the plan is kept when `isAsPlanned`. */
export async function handedIn(
  { comparison, truth }: SimulatedSession,
  assess: Assess,
  isAsPlanned: (result: Result) => boolean,
): Promise<Outcome> {
  const result = await assess(comparison)
  const unplanned = isSupported(result)
  return { unplanned, planned: unplanned && isAsPlanned(result), ...naiveOutcome(sidesOf(truth, claimedBand)) }
}

/** The document with some measured runs only, as if the rig had never counted the others. */
export function withOnly({ comparison, truth }: SimulatedSession, keep: readonly TrueRun[]): SimulatedSession {
  const ids = new Set(keep.map(({ state }) => state.id))
  const runs = comparison.runs.filter(({ id, purpose }) => purpose !== 'measured' || ids.has(id))
  return {
    comparison: { ...comparison, runs: runs.map(renumbered) },
    truth: { ...truth, runs: truth.runs.filter(({ state }) => ids.has(state.id)) },
  }
}

function renumbered(run: Run, index: number): Run {
  return { ...run, sequence: index + 1, counter: 201 + index }
}

/** Runs of a side, the lowest band mean first. */
export function ranked({ truth }: SimulatedSession, side: Side): readonly TrueRun[] {
  const levels = levelsOf(truth, side, claimedBand)
  const runs = truth.runs.filter(({ state }) => state.slot.side === side)
  return runs
    .map((run, k) => ({ run, level: levels[k] ?? Number.NaN }))
    .toSorted((a, b) => a.level - b.level)
    .map(({ run }) => run)
}

/** A document without the engine temperatures. */
export function withoutTemperatures(comparison: Comparison): Comparison {
  const runs = comparison.runs.map((run): Run => {
    const { coolantTemperature: _, oilTemperature: __, ...conditions } = run.conditions ?? {}
    return { ...run, conditions }
  })
  return { ...comparison, runs }
}
