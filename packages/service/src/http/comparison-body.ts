import type { Comparison, FieldProblem, Protocol } from '@fairpull/sdk/contract'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { comparisonExamples } from './examples.ts'
import type { BodyFormat } from './operation.ts'
import { type Refusal, refuse } from './problem.ts'

/** A comparison as the whole body. */
export const comparisonBody: BodyFormat<Comparison> = {
  schema: 'Comparison',
  examples: comparisonExamples,
  read: (value) => {
    const read = readComparison(value)
    return read.ok ? { ok: true, body: read.comparison } : read
  },
}

/**
 * Refuses a comparison under a protocol that this service does not have; undefined when it has it.
 *
 * @param at JSON Pointer to the comparison in the body.
 */
export function refuseUnknownProtocol(
  { protocol }: Comparison,
  protocols: Readonly<Record<string, Protocol>>,
  at: string,
): Refusal | undefined {
  if (Object.hasOwn(protocols, protocol)) return undefined
  const known = Object.keys(protocols).join(', ')
  const problem: FieldProblem = {
    pointer: `${at}/protocol`,
    code: 'ERR_NOT_IN_LIST',
    detail: `${JSON.stringify(protocol.slice(0, 60))} is not a protocol of this service; it has ${known}`,
  }
  return refuse('ERR_BODY_INVALID', `${problem.pointer}: ${problem.detail}.`, { errors: [problem] })
}
