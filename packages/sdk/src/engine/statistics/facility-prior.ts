import { EngineError } from '../engine-error.ts'
import { fallingRoot } from '../numerics/falling-root.ts'
import { digamma, trigamma } from '../numerics/gamma.ts'

/** One past session of runs in one mounting. */
export interface PastSession {
  /** Relative variance of its runs. [1], above 0 */
  readonly relativeVariance: number
  /** Its degrees of freedom. [1], above 0 */
  readonly dof: number
}

/** What past sessions say in advance of the next one's repeatability. */
export interface FacilityPrior {
  /** Typical relative variance, s0². [1] */
  readonly relativeVariance: number
  /** How alike the sessions' variances are, d0; Infinity where they differ no more than chance makes them. [1] */
  readonly spreadDof: number
  /** Degrees of freedom to put in the facility record, d_r. [1] */
  readonly dof: number
}

/** Fewest sessions; below, a value must be declared. */
export const FEWEST_SESSIONS = 3

/** Caps of d_r. [1] Source: measurement-model §9.1. */
const MOST_DOF = 15
const MOST_DOF_OF_FEW = 8
const FEW_SESSIONS = 10

/**
 * Prior variance and degrees of freedom of a facility's repeatability, from past sessions.
 *
 * e_j = ln s_j² − ψ(d_j/2) + ln(d_j/2); ψ'(d0/2) = var(e) − mean ψ'(d_j/2), d0 infinite where that is not above 0;
 * s0² = exp(mean e + ψ(d0/2) − ln(d0/2)); d_r = min(d0, 15, Σ d_j), at most 8 with fewer than 10 sessions.
 *
 * @param sessions at least three.
 * @returns the prior. Pure.
 * @throws EngineError `ERR_EMPTY` with fewer than three sessions; `ERR_OUT_OF_RANGE` when a variance or its degrees of freedom
 * are not above 0.
 *
 * Source: G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 3 (2004) art. 3, §6.2 (from memory); measurement-model §9.1.
 * Tested: tests/vectors, facility_prior.
 */
export function facilityPrior(sessions: readonly PastSession[]): FacilityPrior {
  requireSessions(sessions)
  const e = sessions.map(
    ({ relativeVariance, dof }) => Math.log(relativeVariance) - digamma(dof / 2) + Math.log(dof / 2),
  )
  const mean = e.reduce((sum, value) => sum + value, 0) / e.length
  const spread = e.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (e.length - 1)
  const expected = sessions.reduce((sum, { dof }) => sum + trigamma(dof / 2), 0) / sessions.length
  const excess = spread - expected
  const spreadDof = excess > 0 ? 2 * trigammaInverse(excess) : Number.POSITIVE_INFINITY
  const shift = Number.isFinite(spreadDof) ? digamma(spreadDof / 2) - Math.log(spreadDof / 2) : 0
  return { relativeVariance: Math.exp(mean + shift), spreadDof, dof: cappedDof(spreadDof, sessions) }
}

function requireSessions(sessions: readonly PastSession[]): void {
  if (sessions.length < FEWEST_SESSIONS) {
    throw new EngineError(
      'ERR_EMPTY',
      `${sessions.length} past sessions are too few; declare a value instead`,
      'sessions',
    )
  }
  for (const { relativeVariance, dof } of sessions) {
    if (relativeVariance > 0 && dof > 0) continue
    throw new EngineError('ERR_OUT_OF_RANGE', `variance ${relativeVariance} with ${dof} degrees of freedom`, 'sessions')
  }
}

function cappedDof(spreadDof: number, sessions: readonly PastSession[]): number {
  const pooled = sessions.reduce((sum, { dof }) => sum + dof, 0)
  const cap = sessions.length < FEW_SESSIONS ? MOST_DOF_OF_FEW : MOST_DOF
  return Math.min(spreadDof, pooled, cap)
}

/** x with ψ'(x) = value, searched on the logarithmic scale between ψ' ≈ 1/x² and ψ' ≈ 1/x. */
function trigammaInverse(value: number): number {
  const low = Math.min(1 / Math.sqrt(value), 1 / value) / 2
  const high = 2 * Math.max(1 / Math.sqrt(value), 1 / value) + 1
  return Math.exp(fallingRoot((log) => Math.log(trigamma(Math.exp(log)) / value), Math.log(low), Math.log(high)))
}
