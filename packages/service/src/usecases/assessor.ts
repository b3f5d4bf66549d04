import type { Comparison, Result } from '@fairpull/sdk/contract'

/** Does the arithmetic. Behind this port, so that it may run on another thread. */
export interface Assessor {
  /**
   * The result of a comparison: a pure function of it.
   *
   * @param comparison read by `readComparison`, under a protocol that this service has.
   */
  assess(comparison: Comparison): Promise<Result>
}
