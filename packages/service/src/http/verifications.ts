/** `/v1/verifications`: what somebody else's signed summary is worth. */
import type { Comparison } from '@fairpull/sdk/contract'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { jsonBytes, ok } from './answer.ts'
import { fieldProblem, unknownMembers } from './body-members.ts'
import { refuseUnknownProtocol } from './comparison-body.ts'
import { type BodyFormat, type BodyOutcome, operation } from './operation.ts'

/** What is to be verified. */
interface VerificationRequest {
  readonly summary: string
  readonly comparison: Comparison | undefined
  readonly log: unknown
}

const verificationBody: BodyFormat<VerificationRequest> = {
  schema: 'VerificationRequest',
  examples: { unreadable: { summary: 'not.a.summary' } },
  read: readVerificationRequest,
}

/** POST /v1/verifications: 200 with the report, also when the summary is refused. */
export const createVerification = operation({
  id: 'createVerification',
  method: 'post',
  address: '/v1/verifications',
  tag: 'Verification',
  summary: 'Verify a signed summary',
  description:
    'Answers the verification report of a signed summary of this service. With the comparison it was made from, the ' +
    'numbers are computed again; with its place in the log, the proof is checked. The procedure is the one that the SDK carries out offline; a summary that does not ' +
    'verify is answered by a report that says so. Nothing is stored, and no key is asked for.',
  scope: null,
  path: {},
  query: {},
  header: {},
  body: verificationBody,
  answers: { 200: { description: 'The report.', schema: 'VerificationReport' } },
  refusals: [],
  handle: async ({ body }, { useCases }) => {
    const { comparison } = body
    const unknown =
      comparison === undefined ? undefined : refuseUnknownProtocol(comparison, useCases.protocols, '/comparison')
    return unknown ?? ok(jsonBytes(await useCases.verify(body)))
  },
})

function readVerificationRequest(value: unknown): BodyOutcome<VerificationRequest> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return { ok: false, problems: [fieldProblem('', 'ERR_WRONG_TYPE', 'give an object with `summary`')] }
  }
  const { summary, comparison, log, ...others } = value as Readonly<Record<string, unknown>>
  const problems = unknownMembers(Object.keys(others), 'nobody knows this member; leave it out')
  if (summary === undefined)
    problems.push(fieldProblem('/summary', 'ERR_MISSING_MEMBER', 'the signed summary is missing'))
  else if (typeof summary !== 'string')
    problems.push(fieldProblem('/summary', 'ERR_WRONG_TYPE', 'give the JWS as text'))

  const read = comparison === undefined ? undefined : readComparison(comparison)
  if (read?.ok === false) {
    problems.push(...read.problems.map((each) => ({ ...each, pointer: `/comparison${each.pointer}` })))
  }
  if (problems.length > 0 || typeof summary !== 'string') return { ok: false, problems }
  return { ok: true, body: { summary, comparison: read?.ok === true ? read.comparison : undefined, log } }
}
