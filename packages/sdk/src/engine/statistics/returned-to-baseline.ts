import { studentT } from '../numerics/student-t.ts'

/** The first and the last baseline block, separated by modified runs. */
export interface ReturnInput {
  /** Mean figure of each block. [unit] */
  readonly means: readonly [number, number]
  /** Runs of each block. [1] */
  readonly sizes: readonly [number, number]
  /** Mean drift covariate of each block. [1] */
  readonly meanT: readonly [number, number]
  /** Run-to-run variance and its degrees of freedom; null when unknown. [unit²], [1] */
  readonly runVariance: number | null
  readonly runDof: number
  /** Between-mounting variance; null when unknown. [unit²] */
  readonly mountVariance: number | null
  /** Drift per unit of t. [unit] */
  readonly driftSd: number
  /** Whether the blocks stand in different mountings. */
  readonly inAnotherMounting: boolean
}

/** How far the second block lies from the first. */
export interface ReturnOutcome {
  /** |m2 − m1| in standard uncertainties; null when not evidenced. [1] */
  readonly z: number | null
  /** Bounds of `met` and `marginal`. [1] */
  readonly met: number
  readonly marginal: number
}

/**
 * Whether the machine came back to its baseline.
 *
 * z = |m2 − m1| / √(v_r(1/n1 + 1/n2) + 2 v_m [another mounting] + σ_d²(t̄2 − t̄1)²); met up to t(0.975, ν_r), marginal up to
 * t(0.995, ν_r).
 *
 * @param input both blocks and the variances.
 * @returns z and its bounds. Pure; never throws. Source: measurement-model §8; common practice, no source.
 */
export function returnedToBaseline(input: ReturnInput): ReturnOutcome {
  const { means, sizes, meanT, runVariance, runDof, mountVariance, driftSd, inAnotherMounting } = input
  if (runVariance === null || (inAnotherMounting && mountVariance === null))
    return { z: null, met: Number.NaN, marginal: Number.NaN }
  const variance =
    runVariance * (1 / sizes[0] + 1 / sizes[1]) +
    (inAnotherMounting ? 2 * (mountVariance ?? 0) : 0) +
    (driftSd * (meanT[1] - meanT[0])) ** 2
  return {
    z: Math.abs(means[1] - means[0]) / Math.sqrt(variance),
    met: studentT.quantile(0.975, runDof),
    marginal: studentT.quantile(0.995, runDof),
  }
}
