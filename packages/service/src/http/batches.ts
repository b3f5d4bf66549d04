/** `/v1/batches`: many comparisons in one request, each with an outcome of its own. */
import type { Comparison, FieldProblem } from '@fairpull/sdk/contract'
import { assessAndIssue, VISIBLE_ASCII } from './assessments.ts'
import { fieldProblem, unknownMembers } from './body-members.ts'
import { comparisonBody, refuseUnknownProtocol } from './comparison-body.ts'
import { comparisonExamples } from './examples.ts'
import { type BodyFormat, type BodyOutcome, operation } from './operation.ts'

/** One line of a batch. */
interface BatchLine {
  readonly key: string
  readonly comparison: Comparison
}

const batchLine: BodyFormat<BatchLine> = {
  schema: 'BatchLine',
  examples: { publishedFigures: { key: 'silencer-71', comparison: comparisonExamples.publishedFigures } },
  read: readBatchLine,
}

/** POST /v1/batches: 200, and one line of answer for each line of the body. */
export const createBatch = operation({
  id: 'createBatch',
  method: 'post',
  address: '/v1/batches',
  tag: 'Assessments',
  summary: 'Assess many comparisons',
  description:
    'Body and answer are NDJSON: one JSON value per line, ended by a line feed. Every line of the body is assessed, ' +
    'signed and stored like a `POST /v1/assessments`, and answered by a line of its own, in the same order, while the ' +
    'body is still being sent: a line that is refused does not hold up the others. The last line of the answer is ' +
    '`{"end":true}`; where it is missing, the answer broke off. For 24 hours the same line under the same `key` gets the ' +
    'first answer and has no further effect, so that a batch that broke off is sent again as it was. The service does ' +
    'not read on while its answer is not read. The time and size limits of a request hold: the size for each line, the ' +
    'time for the whole batch; send a long one in parts.',
  scope: 'assessments:write',
  path: {},
  query: {},
  header: {},
  body: batchLine,
  eachLine: 'assessment',
  answers: {
    200: {
      description: 'One line for each line of the body.',
      schema: 'BatchAnswerLine',
      mediaType: 'application/x-ndjson',
    },
  },
  refusals: [],
  handle: async ({ body, caller, digest }, { useCases }) => {
    const { key, comparison } = body
    const unknown = refuseUnknownProtocol(comparison, useCases.protocols, '/comparison')
    if (unknown !== undefined) return unknown
    return assessAndIssue(
      { caller, comparison, repetition: { key, requestDigest: digest() }, supersedes: null },
      useCases,
    )
  },
})

function readBatchLine(value: unknown): BodyOutcome<BatchLine> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return { ok: false, problems: [fieldProblem('', 'ERR_WRONG_TYPE', 'give an object with `key` and `comparison`')] }
  }
  const { key, comparison, ...others } = value as Readonly<Record<string, unknown>>
  const problems = unknownMembers(Object.keys(others), 'nobody knows this member; leave it out')
  const hasKey = typeof key === 'string' && VISIBLE_ASCII.test(key)
  if (!hasKey) problems.push(problemOfKey(key))
  if (comparison === undefined) {
    problems.push(fieldProblem('/comparison', 'ERR_MISSING_MEMBER', 'the comparison is missing'))
    return { ok: false, problems }
  }
  const read = comparisonBody.read(comparison)
  if (!read.ok) problems.push(...read.problems.map((each) => ({ ...each, pointer: `/comparison${each.pointer}` })))
  if (problems.length > 0 || !read.ok || !hasKey) return { ok: false, problems }
  return { ok: true, body: { key, comparison: read.body } }
}

function problemOfKey(key: unknown): FieldProblem {
  if (key === undefined)
    return fieldProblem('/key', 'ERR_MISSING_MEMBER', 'every line has a key that makes it safe to repeat')
  return fieldProblem('/key', 'ERR_WRONG_TYPE', 'give a key of 1 to 255 visible ASCII characters')
}
