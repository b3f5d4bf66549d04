import type { SessionNoise } from './noise.ts'
import type { WholeRecipe } from './recipe.ts'
import type { RunState } from './run-state.ts'

/** What is true of a simulated session, and no submitter could know. */
export interface Truth {
  /** The recipe with everything said. */
  readonly recipe: WholeRecipe
  /** What the session drew. */
  readonly noise: SessionNoise
  /** Measured runs in order, as they really were. */
  readonly runs: readonly TrueRun[]
  /** What each claim speaks of, as it really is. */
  readonly claims: readonly TrueClaim[]
}

/** A measured run as it really was. */
export interface TrueRun {
  /** Its state, faults included. */
  readonly state: RunState
  /** Correction factor of its air. [1] */
  readonly factor_1: number
  /** Grid. [rpm] */
  readonly speed_rpm: Float64Array
  /** Power it drew, brought to reference air. [W] */
  readonly correctedPower_W: Float64Array
}

/** The true value of what a claim speaks of. */
export interface TrueClaim {
  /** Id of the claim. */
  readonly claim: string
  /** Value in the unit of the claim. */
  readonly value: number
}
