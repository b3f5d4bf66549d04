import { EngineError } from '../engine-error.ts'
import { bandVarianceShare } from './band-variance.ts'
import { groupMeans, layoutOf } from './cells.ts'

/** Runs of one unchanged machine, strapped down several times. */
export interface StudyInput {
  /** ln of the band mean of each run. [1] */
  readonly logBandMeans: Float64Array
  /** Mounting of each run. */
  readonly mountings: readonly string[]
  /** Width of the band. [rpm] */
  readonly width_rpm: number
  /** Local noise and its correlation length, as recorded. [1], [rpm] */
  readonly localRelSd: number
  readonly localCorrelation_rpm: number
}

/** What a study says of a facility. */
export interface FacilityStudy {
  /** Pooled relative variance within the mountings, v_r, and its degrees of freedom. [1] */
  readonly repeatVariance: number
  readonly repeatDof: number
  /** Variance of the mounting means, before the runs' share is taken out. [1] */
  readonly rawMountVariance: number
  /** Between-mounting relative sd and its degrees of freedom, for the facility record. [1] */
  readonly mountRelSd: number
  readonly mountDof: number
  /** Run-to-run relative sd g, with the local noise's share taken out, for the facility record. [1] */
  readonly repeatRelSd: number
}

/** Fewest mountings of a study. */
export const FEWEST_MOUNTINGS = 4

/** A difference of variances is never taken below this share of what it was taken from. [1] */
const LEAST_SHARE = 0.5

/**
 * Repeatability and re-mounting standard deviations from a study of one unchanged machine.
 *
 * v_r = pooled within-mounting variance; raw = variance of the mounting means; mounting variance = max(raw − v_r mean(1/m_k),
 * raw/2) on J − 1 degrees of freedom; g² = max(v_r − l² h(W/ℓ), v_r/2).
 *
 * @param input four or more mountings, at least one of them with two or more runs.
 * @returns the figures for a facility record. The pooled degrees of freedom are not those of the prior: see facilityPrior.
 * @throws EngineError `ERR_LENGTH` when the lists differ; `ERR_EMPTY` with fewer than four mountings, or one run in each.
 *
 * Source: measurement-model §9.2. Tested: tests/vectors, study.
 */
export function facilityStudy({
  logBandMeans,
  mountings,
  width_rpm,
  localRelSd,
  localCorrelation_rpm,
}: StudyInput): FacilityStudy {
  if (mountings.length !== logBandMeans.length) {
    throw new EngineError('ERR_LENGTH', `${logBandMeans.length} figures for ${mountings.length} runs`, 'mountings')
  }
  const within = runsWithinMountings(logBandMeans, mountings)
  if (within === null || within.mountingSizes.length < FEWEST_MOUNTINGS) {
    throw new EngineError(
      'ERR_EMPTY',
      `${logBandMeans.length} runs in ${new Set(mountings).size} mountings are too few for a study`,
      'mountings',
    )
  }
  const { variance, dof, means, mountingSizes } = within
  const rawMountVariance = varianceOf(means)
  const runsShare = mountingSizes.reduce((sum, size) => sum + 1 / size, 0) / means.length
  return {
    repeatVariance: variance,
    repeatDof: dof,
    rawMountVariance,
    mountRelSd: Math.sqrt(shareTakenOut(rawMountVariance, variance * runsShare)),
    mountDof: means.length - 1,
    repeatRelSd: runToRunSd(variance, { width_rpm, localRelSd, localCorrelation_rpm }),
  }
}

/** Scatter of runs within their mountings. */
export interface RunsWithin {
  /** Pooled relative variance within the mountings, v_r, and its degrees of freedom. [1] */
  readonly variance: number
  readonly dof: number
  /** Mean and number of runs of each mounting, in order of first appearance. */
  readonly means: Float64Array
  readonly mountingSizes: Int32Array
}

/**
 * Pooled variance of the runs within their mountings; null where no mounting holds two.
 *
 * @param logBandMeans ln of the band mean of each run. [1]
 * @param mountings of each run; as many. Pure.
 */
export function runsWithinMountings(logBandMeans: Float64Array, mountings: readonly string[]): RunsWithin | null {
  const { mountingOf, mountingSizes } = layoutOf(
    mountings.map(() => 0),
    mountings,
  )
  const dof = logBandMeans.length - mountingSizes.length
  if (dof < 1) return null
  const means = groupMeans(logBandMeans, mountingOf, mountingSizes.length)
  const squares = logBandMeans.reduce((sum, value, i) => sum + (value - (means[mountingOf[i] ?? 0] ?? 0)) ** 2, 0)
  return { variance: squares / dof, dof, means, mountingSizes }
}

/**
 * Run-to-run sd without the local noise's share of a band mean: g² = max(v_r − l² h(W/ℓ), v_r/2). [1]
 *
 * @param variance v_r. [1]
 * @param noise band and local noise. Pure.
 */
export function runToRunSd(
  variance: number,
  { width_rpm, localRelSd, localCorrelation_rpm }: Omit<StudyInput, 'logBandMeans' | 'mountings'>,
): number {
  return Math.sqrt(shareTakenOut(variance, localRelSd ** 2 * bandVarianceShare(width_rpm, localCorrelation_rpm)))
}

/** A variance less what is known to be in it; flooring the difference at 0 would lose coverage. */
export function shareTakenOut(variance: number, share: number): number {
  return Math.max(variance - share, LEAST_SHARE * variance)
}

/** Variance of a sample. */
export function varianceOf(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1)
}
