/** `/v1/assessments`: the main job. */
import type { LogReceipt } from '@fairpull/sdk/contract'
import { UUID } from '../identity.ts'
import type { StoredAssessment, StoredResponse } from '../ports.ts'
import type { AssessRequest } from '../usecases/assess-comparison.ts'
import type { UseCases } from '../usecases/use-cases.ts'
import { type Answer, caching, created, jsonBytes, ok, okTagged, textBytes } from './answer.ts'
import { comparisonBody, refuseUnknownProtocol } from './comparison-body.ts'
import { operation } from './operation.ts'
import { pageOf, pageQuery } from './paging.ts'
import { flag, textLike } from './parameter.ts'
import { nothingHere, type Refusal, refuse } from './problem.ts'

/** What an idempotency key may be. */
export const VISIBLE_ASCII = /^[\x21-\x7e]{1,255}$/

/** Query parameter of whatever signs runs. */
export const supersedesParameter = textLike('Withdrawn summary that the new one replaces.', UUID, 'the id of a summary')

/** POST /v1/assessments: 201 with a signed summary, also when the standing is `invalid`. */
export const createAssessment = operation({
  id: 'createAssessment',
  method: 'post',
  address: '/v1/assessments',
  tag: 'Assessments',
  summary: 'Assess a comparison',
  description:
    'Judges the comparison by its protocol, signs the summary, stores it with its evidence, logs it and answers when that ' +
    'is durable: with its place in the log, a signed checkpoint and the inclusion proof. A comparison that does not hold is answered in the same way: its standing is `invalid`, and the summary ' +
    'says why. With `dryRun=true` nothing is signed and nothing is stored.',
  scope: 'assessments:write',
  path: {},
  query: {
    dryRun: flag('Assess only: answer 200 without a signature, and store nothing.'),
    supersedes: supersedesParameter,
  },
  header: {
    'idempotency-key': textLike(
      'Makes repetitions safe. For 24 hours the same request under the same key gets the first answer, marked by ' +
        '`Idempotency-Replayed: true`, and has no further effect. Not looked at in a dry run.',
      VISIBLE_ASCII,
      '1 to 255 visible ASCII characters',
    ),
  },
  body: comparisonBody,
  answers: {
    200: { description: 'Assessed in a dry run.', schema: 'DryRun' },
    201: {
      description: 'Assessed, signed and stored.',
      schema: 'IssuedSummary',
      headers: {
        location: 'Address of the assessment.',
        etag: 'Entity tag of the body, the same as at that address.',
        'idempotency-replayed': '`true` on a repetition; absent otherwise.',
      },
    },
  },
  refusals: ['ERR_IDEMPOTENCY_KEY_REUSED', 'ERR_SUPERSEDES'],
  handle: async ({ body, caller, query, header, digest }, { useCases }) => {
    const unknown = refuseUnknownProtocol(body, useCases.protocols, '')
    if (unknown !== undefined) return unknown
    if (query.dryRun === true) return ok(jsonBytes({ dryRun: true, result: await useCases.preview(body) }))

    const key = header['idempotency-key']
    const repetition = key === undefined ? null : { key, requestDigest: digest() }
    const supersedes = query.supersedes ?? null
    return assessAndIssue({ caller, comparison: body, repetition, supersedes }, useCases)
  },
})

/** GET /v1/assessments: the assessments of the caller's organisation. */
export const listAssessments = operation({
  id: 'listAssessments',
  method: 'get',
  address: '/v1/assessments',
  tag: 'Assessments',
  summary: 'List your assessments',
  description: 'The assessments of the organisation that the API key belongs to, newest first, page by page.',
  scope: 'assessments:read',
  path: {},
  query: pageQuery,
  header: {},
  body: null,
  answers: { 200: { description: 'One page.', schema: 'AssessmentPage' } },
  refusals: [],
  handle: async ({ caller, query }, { useCases }) => {
    const { entries, next } = await useCases.listAssessments(caller.tenant, pageOf(query))
    const items = entries.map(({ id, createdAt, status }) => ({ id, createdAt: createdAt.toISOString(), status }))
    return ok(jsonBytes({ items, nextCursor: next }))
  },
})

/** GET /v1/assessments/{id}: the stored summary, byte for byte as it was first answered. */
export const getAssessment = operation({
  id: 'getAssessment',
  method: 'get',
  address: '/v1/assessments/{id}',
  tag: 'Assessments',
  summary: 'Read an assessment',
  description: 'The signed summary, byte for byte as it was answered when it was issued.',
  scope: 'assessments:read',
  path: { id: textLike('Identity of the summary.', UUID, 'the id of an assessment') },
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The signed summary.', schema: 'IssuedSummary', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ caller, path }, { useCases }) => {
    const found = await useCases.findAssessment(caller.tenant, path.id)
    if (found === undefined) return nothingHere()
    return okTagged(issuedSummaryBytes(found), caching.revalidated)
  },
})

/** Assesses a comparison and answers 201 with its summary, or what was answered to the same request before. */
export async function assessAndIssue(
  request: Omit<AssessRequest, 'answer'>,
  { assess }: Pick<UseCases, 'assess'>,
): Promise<Answer | Refusal> {
  const issued = await assess({ ...request, answer: createdSummary })
  if (issued.outcome === 'withdrawn-evidence') return withdrawnEvidence(issued.summaries)
  if (issued.outcome === 'conflict') return keyReused()
  return issued.outcome === 'issued' ? answerOf(issued.response) : replayOf(issued.response)
}

/** What the body of an issued summary is made from. */
type SummaryBytes = Pick<StoredAssessment, 'id' | 'jws' | 'payload' | 'log'>

/** 201 with an issued summary, at the address of its assessment. */
export function createdSummary(issued: SummaryBytes): StoredResponse {
  const { status, headers, body } = created(`/v1/assessments/${issued.id}`, issuedSummaryBytes(issued))
  return { status, headers, body: body ?? new Uint8Array(0) }
}

/**
 * The body of an `IssuedSummary`, put together from the bytes that were signed: reading it later gives the same bytes,
 * whatever this program then writes anew.
 */
export function issuedSummaryBytes({ id, jws, payload, log }: SummaryBytes): Uint8Array<ArrayBuffer> {
  const head = textBytes(`{"id":${JSON.stringify(id)},"summary":${JSON.stringify(jws)},"payload":`)
  return new Uint8Array(Buffer.concat([head, payload, textBytes(`${placeOf(log)}}`)]))
}

/** The members in one order, whatever order the database gives them back in. */
function placeOf(log: LogReceipt | null): string {
  if (log === null) return ''
  const { index, checkpoint, proof } = log
  return `,"log":${JSON.stringify({ index, checkpoint, proof })}`
}

/** The runs belong to a withdrawn summary that the request does not name, or not to the one it names. */
export function withdrawnEvidence(summaries: readonly string[]): Refusal {
  const named = summaries.length === 0 ? 'no withdrawn summary of these runs' : `withdrawn: ${summaries.join(', ')}`
  return refuse(
    'ERR_SUPERSEDES',
    `There is ${named}. Name in \`supersedes\` the withdrawn summary of these runs, or none.`,
  )
}

/** A kept answer as it goes out. */
export function answerOf({ status, headers, body }: StoredResponse): Answer {
  return { status, headers, body: new Uint8Array(body) }
}

/** The same, marked as one that was given before. */
export function replayOf(response: StoredResponse): Answer {
  const answer = answerOf(response)
  return { ...answer, headers: { ...answer.headers, 'idempotency-replayed': 'true' } }
}

/** The key for repetitions belongs to another request. */
export function keyReused(): Refusal {
  return refuse(
    'ERR_IDEMPOTENCY_KEY_REUSED',
    'This Idempotency-Key was used with another request. Repeat that request unchanged, or make a fresh key.',
  )
}
