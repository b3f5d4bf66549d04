import type { Random } from '../random.ts'
import type { Slot } from './design.ts'

/** How far figures scatter that should be equal. Every size is a standard deviation as a fraction of the power. */
export interface Noise {
  /** From run to run, the whole curve alike. [1] */
  readonly repeatability_1: number
  /** From session to session, of the logarithm of the two run-to-run sizes. [1] */
  readonly heterogeneity_1: number
  /** Within a run, along the engine speed. [1] */
  readonly local_1: number
  /** Engine-speed distance of that noise: correlation exp(-(d/length)^2/2). [rpm] */
  readonly correlationLength_rpm: number
  /** From one strapping-down to the next. [1] */
  readonly remounting_1: number
  /** Tilt of the curve from one strapping-down to the next, at the ends of the range. [1] */
  readonly tilt_1: number
  /** From day to day. [1] */
  readonly day_1: number
  /** Slope of the drift, per run. [1] */
  readonly driftPerRun_1: number
  /** Residual of the correction: share of the factor that is not really there. [1] */
  readonly ambientResidual_1: number
  /** Size of the run-to-run noise of the modified side over that of the baseline. [1] */
  readonly modifiedOverBaseline_1: number
  /** White noise of a sample. [1] */
  readonly sample_1: number
}

/**
 * An ordinary facility; sizes assumed, no source. One session in ten drifts by more than 0.16 % per run. The white noise makes
 * curves as rough, by their second differences at 100 rpm, as those of the vectors of measurement-model §8.
 */
export const ordinaryNoise: Noise = {
  repeatability_1: 0.005,
  heterogeneity_1: 0.25,
  local_1: 0.003,
  correlationLength_rpm: 200,
  remounting_1: 0.005,
  tilt_1: 0.0015,
  day_1: 0.005,
  driftPerRun_1: 0.001,
  ambientResidual_1: 0.25,
  modifiedOverBaseline_1: 1,
  sample_1: 0.0007,
}

/** A change that is no noise: the same in every session that has it. */
export interface Trend {
  /** Whether the session does not drift at random, though a facility record states that sessions may. */
  readonly isSteady: boolean
  /** Drift on top of what `Noise.driftPerRun_1` draws, per run. [1] */
  readonly driftPerRun_1: number
  /** Gain of an engine that warms up, of which the share 1 - exp(-t/2) is reached after t runs. [1] */
  readonly warmUp_1: number
}

/** What one session drew; known to the simulator only. */
export interface SessionNoise {
  /** Sizes as they are in this session, heterogeneity drawn. */
  readonly sizes: Noise
  /** Slope of the drift, drawn and fixed part together. [1] */
  readonly driftPerRun_1: number
  /** Share of the correction factor that is not really there. [1] */
  readonly ambientResidual_1: number
  /** ln of the part of the whole curve that the run at `slot` has in common along the engine speed. */
  readonly level: (slot: Slot, t: number, index: number) => number
  /** Tilt of a mounting, at the upper end of the range. [1] */
  readonly tilt: (mounting: number) => number
}

/** Draws what a session has of noise that no engine speed shows. */
export function sessionNoise(noise: Noise, trend: Trend, random: Random): SessionNoise {
  const scale = Math.exp(noise.heterogeneity_1 * random.fork('heterogeneity').normal())
  const sizes = { ...noise, repeatability_1: noise.repeatability_1 * scale, local_1: noise.local_1 * scale }
  const drawnDrift_1 = trend.isSteady ? 0 : noise.driftPerRun_1 * random.fork('drift').normal()
  const driftPerRun_1 = trend.driftPerRun_1 + drawnDrift_1
  const mounting = (number: number) => noise.remounting_1 * random.fork(`mounting ${number}`).normal()
  const day = (number: number) => noise.day_1 * random.fork(`day ${number}`).normal()
  return {
    sizes,
    driftPerRun_1,
    ambientResidual_1: noise.ambientResidual_1 * random.fork('ambient').normal(),
    level: (slot, t, index) =>
      sideSize(sizes, slot) * random.fork(`run ${index}`).normal() +
      mounting(slot.mounting) +
      day(slot.day) +
      driftPerRun_1 * t +
      trend.warmUp_1 * (1 - Math.exp(-t / 2)),
    tilt: (number) => noise.tilt_1 * random.fork(`tilt ${number}`).normal(),
  }
}

/** Run-to-run standard deviation of the side of a run. [1] */
export function sideSize(sizes: Noise, slot: Pick<Slot, 'side'>): number {
  return sizes.repeatability_1 * (slot.side === 'modified' ? sizes.modifiedOverBaseline_1 : 1)
}

/** Spacing of the grid on which noise along the engine speed is drawn. [rpm] */
export const NOISE_GRID_RPM = 50

/**
 * Noise along the engine speed: white noise under a Gaussian window, so that its correlation is exp(-(d/length)^2/2).
 *
 * @param count points at a spacing of 50 rpm.
 * @param correlationLength_rpm the length; 0 gives white noise. [rpm]
 * @returns values of standard deviation 1.
 */
export function localNoise(count: number, correlationLength_rpm: number, random: Random): Float64Array {
  const window = windowOf(correlationLength_rpm)
  const white = Float64Array.from({ length: count + window.length - 1 }, random.normal)
  const values = new Float64Array(count)
  for (let k = 0; k < count; k += 1) {
    let sum = 0
    for (let j = 0; j < window.length; j += 1) sum += (window[j] ?? 0) * (white[k + j] ?? 0)
    values[k] = sum
  }
  return values
}

const windows = new Map<number, Float64Array>()

/** Weights exp(-(d/length)^2) of unit sum of squares: their autocorrelation is that of the noise. */
function windowOf(correlationLength_rpm: number): Float64Array {
  const known = windows.get(correlationLength_rpm)
  if (known !== undefined) return known
  const reach = Math.ceil((2.5 * correlationLength_rpm) / NOISE_GRID_RPM)
  const raw = Float64Array.from({ length: 2 * reach + 1 }, (_, j) =>
    reach === 0 ? 1 : Math.exp(-((((j - reach) * NOISE_GRID_RPM) / correlationLength_rpm) ** 2)),
  )
  const size = Math.sqrt(raw.reduce((sum, weight) => sum + weight * weight, 0))
  const window = raw.map((weight) => weight / size)
  windows.set(correlationLength_rpm, window)
  return window
}
