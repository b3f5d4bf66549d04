/** `/v1/sample-sizes`: how many runs and mountings, asked before the first one. */
import type { SampleSizeRequest } from '@fairpull/sdk/contract'
import { readSampleSize } from '@fairpull/sdk/contract/schemas'
import { jsonBytes, ok } from './answer.ts'
import { refuseUnknownProtocol } from './comparison-body.ts'
import { sampleSizeExamples } from './examples.ts'
import { type BodyFormat, operation } from './operation.ts'

const sampleSizeBody: BodyFormat<SampleSizeRequest> = {
  schema: 'SampleSizeRequest',
  examples: sampleSizeExamples,
  read: (value) => {
    const read = readSampleSize(value)
    return read.ok ? { ok: true, body: read.request } : read
  },
}

/** POST /v1/sample-sizes: 200 with the advised designs, also when none reaches the target. */
export const createSampleSize = operation({
  id: 'createSampleSize',
  method: 'post',
  address: '/v1/sample-sizes',
  tag: 'Assessments',
  summary: 'Ask how many runs it takes',
  description:
    'Answers how many runs and mountings a comparison needs for an interval of a given half-width, or for a claim to be ' +
    'supported with a given chance: the designs in the order in which they are advised, what each would show, and what ' +
    'the figures rest on. Without a facility record the typical values of the protocol stand in, and that is said. ' +
    'Nothing is signed and nothing is stored.',
  scope: 'assessments:write',
  path: {},
  query: {},
  header: {},
  body: sampleSizeBody,
  answers: { 200: { description: 'The advised designs.', schema: 'SampleSizeReport' } },
  refusals: [],
  handle: async ({ body }, { useCases }) =>
    refuseUnknownProtocol(body, useCases.protocols, '') ?? ok(jsonBytes(useCases.adviseSampleSize(body))),
})
