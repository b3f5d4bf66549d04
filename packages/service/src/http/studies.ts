/** `/v1/studies`: how well a facility repeats. */
import type { RegisteredStudy, Study } from '@fairpull/sdk/contract'
import { readStudy } from '@fairpull/sdk/contract/schemas'
import { UUID } from '../identity.ts'
import type { StoredResponse } from '../ports.ts'
import { caching, created, jsonBytes, ok, okTagged } from './answer.ts'
import { answerOf, keyReused, replayOf, VISIBLE_ASCII } from './assessments.ts'
import { refuseUnknownProtocol } from './comparison-body.ts'
import { type BodyFormat, operation } from './operation.ts'
import { pageOf, pageQuery } from './paging.ts'
import { textLike } from './parameter.ts'
import { nothingHere, refuse } from './problem.ts'
import { studyExamples } from './study-examples.ts'

const studyBody: BodyFormat<Study> = {
  schema: 'Study',
  examples: studyExamples,
  read: (value) => {
    const read = readStudy(value)
    return read.ok ? { ok: true, body: read.study } : read
  },
}

/** POST /v1/studies: 201 with what the study shows, also when it is not enough for a record. */
export const createStudy = operation({
  id: 'createStudy',
  method: 'post',
  address: '/v1/studies',
  tag: 'Studies',
  summary: 'Register a repeatability study',
  description:
    'Takes the runs of one unchanged machine that was strapped down several times, and answers with the facility record that ' +
    'comparisons take as `facility.record`: repeatability, re-mounting and day as standard deviations with degrees of ' +
    'freedom, and the noise along the engine speed; with the components of variance, and what is missing and what to add. ' +
    'The study is stored. A record that names it and is equal to it counts, under a plan, as issued by this register. Too few ' +
    'mountings or runs are answered, not refused.',
  scope: 'assessments:write',
  path: {},
  query: {},
  header: {
    'idempotency-key': textLike(
      'Makes repetitions safe: for 24 hours the same request under the same key gets the first answer.',
      VISIBLE_ASCII,
      '1 to 255 visible ASCII characters',
    ),
  },
  body: studyBody,
  answers: {
    201: {
      description: 'Assessed and stored.',
      schema: 'RegisteredStudy',
      headers: {
        location: 'Address of the study.',
        etag: 'Entity tag of the body, the same as at that address.',
        'idempotency-replayed': '`true` on a repetition; absent otherwise.',
      },
    },
  },
  refusals: ['ERR_IDEMPOTENCY_KEY_REUSED'],
  handle: async ({ body, caller, header, digest }, { useCases }) => {
    const unknown = refuseUnknownProtocol(body, useCases.protocols, '')
    if (unknown !== undefined) return unknown
    const key = header['idempotency-key']
    const repetition = key === undefined ? null : { key, requestDigest: digest() }
    const registered = await useCases.studies.register({ caller, study: body, repetition, answer: createdStudy })
    if (registered.outcome === 'conflict') return keyReused()
    return registered.outcome === 'issued' ? answerOf(registered.response) : replayOf(registered.response)
  },
})

/** GET /v1/studies: the studies of the caller's organisation. */
export const listStudies = operation({
  id: 'listStudies',
  method: 'get',
  address: '/v1/studies',
  tag: 'Studies',
  summary: 'List your studies',
  description: 'The studies of the organisation that the API key belongs to, newest first, page by page.',
  scope: 'assessments:read',
  path: {},
  query: pageQuery,
  header: {},
  body: null,
  answers: { 200: { description: 'One page.', schema: 'StudyPage' } },
  refusals: [],
  handle: async ({ caller, query }, { useCases }) => {
    const { studies, next } = await useCases.studies.list(caller.tenant, pageOf(query))
    const items = studies.map(({ id, registeredAt, result: { facility, record, verdict } }) => ({
      ...{ id, registeredAt, facility, hasRecord: record !== null, verdict },
    }))
    return ok(jsonBytes({ items, nextCursor: next }))
  },
})

/** GET /v1/studies/{id}: what a study shows. */
export const getStudy = operation({
  id: 'getStudy',
  method: 'get',
  address: '/v1/studies/{id}',
  tag: 'Studies',
  summary: 'Read a study',
  description: 'What the study shows, as it was answered when it was registered.',
  scope: 'assessments:read',
  path: { id: textLike('Identity of the study.', UUID, 'the id of a study') },
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The study.', schema: 'RegisteredStudy', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ caller, path }, { useCases }) => {
    const study = await useCases.studies.find(caller.tenant, path.id)
    return study === undefined ? nothingHere() : okTagged(jsonBytes(study), caching.revalidated)
  },
})

const FACILITY = /^[^\p{Cc}\p{Cs}]{1,100}$/u

/** GET /v1/study-charts: whether a facility repeats as well as it did. */
export const getStudyCharts = operation({
  id: 'getStudyCharts',
  method: 'get',
  address: '/v1/study-charts',
  tag: 'Studies',
  summary: 'Chart the studies of a facility',
  description:
    'Shewhart charts of the standard deviations that the latest 200 studies of a facility found, the oldest first: of the runs ' +
    'within their mountings, and of the means of the mountings. A study outside the limits says that something changed.',
  scope: 'assessments:read',
  path: {},
  query: {
    facility: { ...textLike('The facility, `facility.id` of a study.', FACILITY, 'a name'), example: 'cell-1' },
  },
  header: {},
  body: null,
  answers: { 200: { description: 'The charts.', schema: 'StudyCharts' } },
  refusals: [],
  handle: async ({ caller, query: { facility } }, { useCases }) =>
    facility === undefined
      ? refuse('ERR_PARAMETER', 'Give the query parameter facility.')
      : ok(jsonBytes(await useCases.studies.charts(caller.tenant, facility))),
})

function createdStudy(study: RegisteredStudy): StoredResponse {
  const { status, headers, body } = created(`/v1/studies/${study.id}`, jsonBytes(study))
  return { status, headers, body: body ?? new Uint8Array(0) }
}
