import type { SideIndex } from './cells.ts'
import type { ScalarFit, ScalarOutcome } from './scalar-fit.ts'
import type { ScalarInput } from './scalar-input.ts'
import { scalarInterval } from './scalar-interval.ts'
import { type BandInput, type BandOutcome, simultaneousBand } from './simultaneous-band.ts'

/** The drift covariates a session can be analysed with. */
export interface DriftModels {
  /** Drift over the whole session. [1] */
  readonly session: Float64Array
  /** Drift starting afresh at every mounting, or at every side where one mounting holds all. [1] */
  readonly restarted: Float64Array
  /** The same in the order of the clock, where that contradicts the submitted order; else null. */
  readonly byClock: DriftModels | null
}

/** One analysis per drift model; the first rules, the others widen. */
export interface Modelled<T> {
  /** With the drift of the whole session. */
  readonly main: T
  /** With the other models that this session calls for. */
  readonly others: readonly T[]
  /** Whether the drift was analysed as restarting, too. */
  readonly hasTwoDriftModels: boolean
}

/**
 * Drift that starts afresh at every mounting: t minus the smallest t of the mounting; of the side, with one mounting for all.
 *
 * @param t drift covariate of each run. [1]
 * @param sides side of each run.
 * @param mountings mounting of each run.
 * @returns the restarted covariate. Source: measurement-model §7, hull.
 */
export function restartedCovariate(
  t: Float64Array,
  sides: readonly SideIndex[],
  mountings: readonly string[],
): Float64Array {
  const hasOneMounting = new Set(mountings).size === 1
  const groupOf = (i: number) => (hasOneMounting ? String(sides[i]) : (mountings[i] ?? ''))
  const first = new Map<string, number>()
  t.forEach((value, i) => {
    first.set(groupOf(i), Math.min(value, first.get(groupOf(i)) ?? value))
  })
  return t.map((value, i) => value - (first.get(groupOf(i)) ?? 0))
}

/** The scalar fit under every drift model that the session calls for. */
export function modelledFit(input: Omit<ScalarInput, 't'>, models: DriftModels): Modelled<ScalarOutcome> {
  return modelled(
    models,
    (t, sessionT) => scalarInterval({ ...input, t, sessionT }),
    (outcome) => (outcome.ok ? outcome.fit : null),
  )
}

/** The band under every drift model that the session calls for. */
export function modelledBand(input: Omit<BandInput, 't'>, models: DriftModels): Modelled<BandOutcome> {
  return modelled(
    models,
    (t, sessionT) => simultaneousBand({ ...input, t, sessionT }),
    (outcome) => (outcome.ok ? outcome.value.fit : null),
  )
}

function modelled<T>(
  { session, restarted, byClock }: DriftModels,
  analyse: (t: Float64Array, sessionT: Float64Array) => T,
  fitOf: (outcome: T) => ScalarFit | null,
): Modelled<T> {
  const main = analyse(session, session)
  const fit = fitOf(main)
  const hasTwoDriftModels = fit?.drift.isDetected === true && !fit.isBracketed
  const clock = byClock === null ? null : modelled(byClock, analyse, fitOf)
  const others = [
    ...(hasTwoDriftModels ? [analyse(restarted, session)] : []),
    ...(clock === null ? [] : [clock.main, ...clock.others]),
  ]
  return { main, others, hasTwoDriftModels }
}
