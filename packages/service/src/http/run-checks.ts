/** `/v1/run-checks`: one run by itself, between two pulls or on upload. */
import type { RunCheckRequest } from '@fairpull/sdk/contract'
import { readRunCheck } from '@fairpull/sdk/contract/schemas'
import { jsonBytes, ok } from './answer.ts'
import { refuseUnknownProtocol } from './comparison-body.ts'
import { runCheckExamples } from './examples.ts'
import { type BodyFormat, operation } from './operation.ts'

const runCheckBody: BodyFormat<RunCheckRequest> = {
  schema: 'RunCheckRequest',
  examples: runCheckExamples,
  read: (value) => {
    const read = readRunCheck(value)
    return read.ok ? { ok: true, body: read.request } : read
  },
}

/** POST /v1/run-checks: 200 with the findings, also when the run does not hold. */
export const createRunCheck = operation({
  id: 'createRunCheck',
  method: 'post',
  address: '/v1/run-checks',
  tag: 'Assessments',
  summary: 'Check one run',
  description:
    'Answers what one run shows by itself: the findings of the checks that need no second side, how its trace was read, ' +
    'and safety cautions. For use between two pulls, while the machine is still strapped down, or on upload. Nothing is ' +
    'signed and nothing is stored.',
  scope: 'assessments:write',
  path: {},
  query: {},
  header: {},
  body: runCheckBody,
  answers: { 200: { description: 'The report.', schema: 'RunCheckReport' } },
  refusals: [],
  handle: async ({ body }, { useCases }) =>
    refuseUnknownProtocol(body, useCases.protocols, '') ?? ok(jsonBytes(useCases.checkRun(body))),
})
