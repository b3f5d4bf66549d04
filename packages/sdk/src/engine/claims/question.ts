import type { CurveSet, Figure } from '../statistics/figure.ts'

/** How a claim compares one figure's gain with its value, on the scale of the analysis. */
export interface FigureQuestion {
  readonly shape: 'figure'
  /** One number per run. */
  readonly figure: Figure
  /** Relation to the claimed value. */
  readonly relation: 'at-least' | 'at-most' | 'equals-within'
  /** Claimed value: for `equals-within` both bounds, else the same number twice. [unit], ln where relative */
  readonly lower: number
  readonly upper: number
  /** Whether the gain is relative. */
  readonly isRelative: boolean
}

/** A claim about every, or the best, engine speed of a range. */
export interface RangeQuestion {
  readonly shape: 'everywhere' | 'anywhere'
  /** Curves of the quantity. [unit] */
  readonly curves: CurveSet
  /** The range. [rpm] */
  readonly from_rpm: number
  readonly to_rpm: number
  /** Claimed value. [unit], ln where relative */
  readonly value: number
  /** Whether the gain is relative. */
  readonly isRelative: boolean
}

/** What is asked of the data. */
export type ClaimQuestion = FigureQuestion | RangeQuestion

/** Why a claim has no p. */
export type NoAnswerReason = 'not covered' | 'range too narrow' | 'peak_not_reached' | 'no interval' | 'no fit'
