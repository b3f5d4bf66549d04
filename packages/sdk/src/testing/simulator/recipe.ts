import type { Claim } from '../../contract/index.ts'
import { ordinaryPace, type Pace } from './design.ts'
import { type Disclosure, fullDisclosure } from './facility-record.ts'
import type { Fault } from './fault.ts'
import type { TrueGain } from './gain.ts'
import { type Machine, referenceMachine } from './machine.ts'
import { type Noise, ordinaryNoise, type Trend } from './noise.ts'
import type { Sampling } from './samples.ts'

/** What to simulate. Only seed, design, runs, gain and claims need saying. */
export interface SessionRecipe {
  /** Seed; the same recipe with the same seed gives the same session. */
  readonly seed: number
  /** Design in the notation of `blocksOf`, for example `ABA` or `A|A|A|B|B|B`. */
  readonly design: string
  /** Measured runs in each block. */
  readonly runsPerBlock: number
  /** What the modification does. */
  readonly gain: TrueGain
  /** What is claimed for it. */
  readonly claims: readonly Claim[]
  /** Protocol of the document. Default: `motorcycle-rollers@1`. */
  readonly protocol?: string
  /** The machine. Default: `referenceMachine`. */
  readonly machine?: Machine
  /** How figures scatter. Default: `ordinaryNoise`. */
  readonly noise?: Noise
  /** Changes that are the same in every session. Default: none. */
  readonly trend?: Trend
  /** How time passes. Default: `ordinaryPace`. */
  readonly pace?: Pace
  /** What the facility's record says. Default: everything, measured. */
  readonly disclosure?: Disclosure
  /** What goes wrong. Default: nothing. */
  readonly faults?: readonly Fault[]
  /** How sweeps are sampled. Default: every 100 rpm. */
  readonly sampling?: Sampling
  /** Columns beside engine speed and power. Default: all. */
  readonly channels?: 'all' | 'power-only'
}

/** A recipe with everything said. */
export type WholeRecipe = Required<SessionRecipe>

const NO_TREND: Trend = { isSteady: false, driftPerRun_1: 0, warmUp_1: 0 }

/** The recipe with everything that it leaves unsaid. */
export function wholeRecipe(recipe: SessionRecipe): WholeRecipe {
  return {
    protocol: 'motorcycle-rollers@1',
    machine: referenceMachine,
    noise: ordinaryNoise,
    trend: NO_TREND,
    pace: ordinaryPace,
    disclosure: fullDisclosure,
    faults: [],
    sampling: { by: 'speed', step_rpm: 100 },
    channels: 'all',
    ...recipe,
  }
}
