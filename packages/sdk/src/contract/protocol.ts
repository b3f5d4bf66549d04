/** A protocol: a versioned, immutable set of checks with their limits and the basis of each limit. */
import type { Severity } from './result.ts'

/** The limits of a check: met up to the first, marginal up to the second, breached beyond. */
export interface GradedLimit {
  /** Bound of `met`. */
  readonly met: number
  /** Bound of `marginal`. */
  readonly marginal: number
  /** Unit of both. */
  readonly unit: string
}

/** One check as protocol data. */
export interface ProtocolCheck {
  /** Name of the check. */
  readonly check: string
  /** What it compares, in one sentence. */
  readonly compares: string
  /** How much it weighs unless the comparison makes it weigh otherwise. */
  readonly severity: Severity
  /** Named limits; empty where the check asks for equality. */
  readonly limits: Readonly<Record<string, GradedLimit>>
  /** Basis of the limits: a clause, or common practice. */
  readonly basis: string
  /** What a breach does to the claims beside the standing; null when nothing. */
  readonly effect: CheckEffect | null
  /** What the gain also belongs to when the check is breached, in a word or two; null when nothing. */
  readonly sharesGain: string | null
}

/** When a finding leaves every claim undecided. */
export interface CheckEffect {
  /** Statuses that do. */
  readonly on: readonly ('marginal' | 'breached')[]
  /** Whether only where one side comes wholly before the other. */
  readonly onlyWhenOneSideFirst: boolean
}

/** Values that stand in for a facility record in conditional answers. */
export interface AssumedValues {
  /** Repeatability. [1] */
  readonly repeatability: number
  /** Local noise. [1] */
  readonly localNoise: number
  /** Re-mounting. [1] */
  readonly remounting: number
  /** Day. [1] */
  readonly day: number
}

/** A protocol. */
export interface Protocol {
  /** Name and version, `motorcycle-rollers@1`. */
  readonly id: string
  /** What it is for. */
  readonly title: string
  /** Values of conditional answers; assumed, no source. */
  readonly assumed: {
    /** An ordinary facility. */
    readonly typical: AssumedValues
    /** A facility of which nothing is known. */
    readonly cautious: AssumedValues
  }
  /** The checks in printed order. */
  readonly checks: readonly ProtocolCheck[]
}
