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
    if (!read.ok) return read
    const claimed = planProblem(read.comparison)
    return claimed === undefined ? { ok: true, body: read.comparison } : { ok: false, problems: [claimed] }
  },
}

/** What the register says of a plan stands in comparisons that it made itself; nobody else can say it. */
export function planProblem({ plan }: Comparison): FieldProblem | undefined {
  if (plan === undefined) return undefined
  const detail =
    'The member `plan` is written by the register. Have the runs of a plan assessed at /v1/plans/{id}/assessment, or leave ' +
    'the member out to have the comparison assessed without a plan.'
  return { pointer: '/plan', code: 'ERR_PLAN_NOT_HERE', detail }
}

/**
 * Refuses a comparison under a protocol that this service does not have; undefined when it has it.
 *
 * @param at JSON Pointer to the comparison in the body.
 */
export function refuseUnknownProtocol(
  { protocol }: Pick<Comparison, 'protocol'>,
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
