/**
 * Room on either side of an estimate for what no variance describes, as a share of the level: both ends of the interval move
 * outwards by it, and every one-sided p is that of the estimate moved against the claim.
 */
export interface Allowance {
  /** How much lower the gain may lie. [1], 0 or more */
  readonly down: number
  /** How much higher. [1], 0 or more */
  readonly up: number
}

/** No room: figures that were recorded. */
export const NO_ALLOWANCE: Allowance = { down: 0, up: 0 }
