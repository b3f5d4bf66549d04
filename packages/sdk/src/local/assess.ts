import type { Comparison } from '../contract/comparison.ts'
import type { Result } from '../contract/result.ts'
import { assessComparison } from '../engine/assess-comparison.ts'
import { protocolOf } from '../engine/protocol/protocol-of.ts'
import { inputDigests, protocolDigest } from '../integrity/digest.ts'

/**
 * Assesses a comparison: the one function behind the service, the local mode and every recomputation.
 *
 * @param comparison a comparison that `readComparison` accepted.
 * @returns the result. The same comparison gives the same bytes everywhere.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL` when the engine has no such protocol; never on weak evidence.
 */
export async function assess(comparison: Comparison): Promise<Result> {
  const { data } = protocolOf(comparison.protocol)
  const [protocol, inputs] = await Promise.all([protocolDigest(data), inputDigests(comparison)])
  return assessComparison(comparison, { protocol, inputs })
}
