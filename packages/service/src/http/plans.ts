/** `/v1/plans`: comparisons registered before their first run. */
import type { PlanRecord } from '@fairpull/sdk/contract'
import { UUID } from '../identity.ts'
import type { PlanRefusal } from '../plan-ports.ts'
import type { StoredResponse } from '../ports.ts'
import { type Answer, caching, created, jsonBytes, ok, okTagged } from './answer.ts'
import { answerOf, keyReused, replayOf, VISIBLE_ASCII } from './assessments.ts'
import { refuseUnknownProtocol } from './comparison-body.ts'
import { operation } from './operation.ts'
import { pageOf, pageQuery } from './paging.ts'
import { textLike } from './parameter.ts'
import { amendmentBody, planBody, planRunBody } from './plan-bodies.ts'
import { badRun, refuseUnknownRules, wrongState } from './plan-refusals.ts'
import { nothingHere, type Refusal, refuse } from './problem.ts'

/** The plan in an address. */
export const planPath = { id: textLike('Identity of the plan.', UUID, 'the id of a plan') } as const

/** POST /v1/plans: 201 with the record, once the commitment is in the log. */
export const createPlan = operation({
  id: 'createPlan',
  method: 'post',
  address: '/v1/plans',
  tag: 'Plans',
  summary: 'Register a plan',
  description:
    'Freezes product, machine, order of the runs, conditioning runs, one primary claim with band and value, further claims, ' +
    'protocol and exclusion rules. A salted commitment goes into the log; only then is the plan answered, with the ' +
    'challenge that every run of it carries. An order can be written out under `blocks` or drawn from a seed under `draw`. ' +
    'Where all runs of one side come first, at least 3 conditioning runs are asked for.',
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
  body: planBody,
  answers: {
    201: {
      description: 'Registered.',
      schema: 'PlanRecord',
      headers: {
        location: 'Address of the plan.',
        etag: 'Entity tag of the body.',
        'idempotency-replayed': '`true` on a repetition; absent otherwise.',
      },
    },
  },
  refusals: ['ERR_IDEMPOTENCY_KEY_REUSED'],
  handle: async ({ body, caller, header, digest }, { useCases }) => {
    const refused =
      refuseUnknownProtocol(body, useCases.protocols, '') ?? refuseUnknownRules(body, useCases.protocols, '')
    if (refused !== undefined) return refused
    const key = header['idempotency-key']
    const repetition = key === undefined ? null : { key, requestDigest: digest() }
    const registered = await useCases.plans.register({ caller, plan: body, repetition, answer: createdPlan })
    if (registered.outcome === 'conflict') return keyReused()
    return registered.outcome === 'issued' ? answerOf(registered.response) : replayOf(registered.response)
  },
})

/** GET /v1/plans: the plans of the caller's organisation. */
export const listPlans = operation({
  id: 'listPlans',
  method: 'get',
  address: '/v1/plans',
  tag: 'Plans',
  summary: 'List your plans',
  description: 'The plans of the organisation that the API key belongs to, newest first, page by page.',
  scope: 'assessments:read',
  path: {},
  query: pageQuery,
  header: {},
  body: null,
  answers: { 200: { description: 'One page.', schema: 'PlanPage' } },
  refusals: [],
  handle: async ({ caller, query }, { useCases }) => {
    const { entries, next } = await useCases.plans.list(caller.tenant, pageOf(query))
    const items = entries.map(({ id, createdAt, status, product, assessment }) => ({
      id,
      createdAt: createdAt.toISOString(),
      status,
      product,
      assessment,
    }))
    return ok(jsonBytes({ items, nextCursor: next }))
  },
})

/** GET /v1/plans/{id}: the record of a plan. */
export const getPlan = operation({
  id: 'getPlan',
  method: 'get',
  address: '/v1/plans/{id}',
  tag: 'Plans',
  summary: 'Read a plan',
  description: 'The plan with its versions, its challenge and the receipt of every logged run.',
  scope: 'assessments:read',
  path: planPath,
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The plan.', schema: 'PlanRecord', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ caller, path }, { useCases }) => {
    const record = await useCases.plans.find(caller.tenant, path.id)
    return record === undefined ? nothingHere() : okTagged(jsonBytes(record), caching.revalidated)
  },
})

/** POST /v1/plans/{id}/amendments: a new version, logged with its reason. */
export const amendPlan = operation({
  id: 'amendPlan',
  method: 'post',
  address: '/v1/plans/{id}/amendments',
  tag: 'Plans',
  summary: 'Amend a plan',
  description:
    'Logs a new version of the terms with its reason. After the first run this makes the registration `amended` for good. ' +
    'Product and machine stay: anything else is another plan. Terms that are already those of the plan change nothing.',
  scope: 'assessments:write',
  path: planPath,
  query: {},
  header: {},
  body: amendmentBody,
  answers: { 200: { description: 'The plan as it is now.', schema: 'PlanRecord' } },
  refusals: ['ERR_NOT_FOUND', 'ERR_PLAN_STATE', 'ERR_PLAN_OVERTAKEN'],
  handle: async ({ caller, path, body }, { useCases }) => {
    const { plan } = body
    const refused =
      refuseUnknownProtocol(plan, useCases.protocols, '/plan') ?? refuseUnknownRules(plan, useCases.protocols, '/plan')
    if (refused !== undefined) return refused
    const amended = await useCases.plans.amend({ tenant: caller.tenant, id: path.id, ...body })
    switch (amended.outcome) {
      case 'done':
        return ok(jsonBytes(amended.record))
      case 'overtaken':
        return refuse('ERR_PLAN_OVERTAKEN', 'Another amendment came first; read the plan and amend what it says now.')
      case 'frozen':
        return refuse('ERR_BODY_INVALID', `/plan/${amended.member}: it cannot be amended.`, {
          errors: [
            {
              pointer: `/plan/${amended.member}`,
              code: 'ERR_PLAN_FROZEN',
              detail: `The ${amended.member} of a plan stays as registered. Register a plan of its own for another one.`,
            },
          ],
        })
      default:
        return refusalOf(amended)
    }
  },
})

/** POST /v1/plans/{id}/runs: 201 with the receipt. */
export const addPlanRun = operation({
  id: 'addPlanRun',
  method: 'post',
  address: '/v1/plans/{id}/runs',
  tag: 'Plans',
  summary: 'Log a run under a plan',
  description:
    'Takes a run of any purpose with the challenge of the plan, gives it the next number without a gap, logs it and answers ' +
    'with a signed receipt. A pull that was broken off is sent as `aborted`, with what there is of its trace: without one it ' +
    'counts as a whole pull that was left out. The mounting is described once, with any of its runs. A rule of the plan may ' +
    'leave a measured run out; the rules see neither its side nor any gain, and the run is then to be made again. The run ' +
    'that reaches the planned number closes the plan. The same run sent again gets the same number and receipt.',
  scope: 'assessments:write',
  path: planPath,
  query: {},
  header: {},
  body: planRunBody,
  answers: {
    201: {
      description: 'Logged.',
      schema: 'RunLogged',
      headers: { 'idempotency-replayed': '`true` when the run had been logged before; absent otherwise.' },
    },
  },
  refusals: ['ERR_NOT_FOUND', 'ERR_PLAN_STATE', 'ERR_RUN_LOGGED', 'ERR_PLAN_CHALLENGE'],
  handle: async ({ caller, path, body }, { useCases }) => {
    const logged = await useCases.plans.logRun(caller.tenant, path.id, body)
    if (logged.outcome !== 'logged') return badRun(logged)
    const answer = ok(jsonBytes(logged.answer))
    return {
      ...answer,
      status: 201,
      headers: { ...answer.headers, ...(logged.isNew ? {} : { 'idempotency-replayed': 'true' }) },
    }
  },
})

const ending = {
  method: 'post',
  tag: 'Plans',
  scope: 'assessments:write',
  path: planPath,
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The plan as it is now.', schema: 'PlanRecord' } },
  refusals: ['ERR_NOT_FOUND', 'ERR_PLAN_STATE'],
} as const

/** POST /v1/plans/{id}/closure: no further run. */
export const closePlan = operation({
  ...ending,
  id: 'closePlan',
  address: '/v1/plans/{id}/closure',
  summary: 'Close a plan before all its runs are made',
  description:
    'Ends the runs of a plan that has some; it can then be assessed, and its summary says that fewer runs were made than planned.',
  handle: async ({ caller, path }, { useCases }) =>
    endedPlan(await useCases.plans.end(caller.tenant, path.id, 'closed')),
})

/** POST /v1/plans/{id}/abandonment: given up after the first run. */
export const abandonPlan = operation({
  ...ending,
  id: 'abandonPlan',
  address: '/v1/plans/{id}/abandonment',
  summary: 'Give up a plan that has runs',
  description:
    'Ends a plan without an assessment. It stays in the public counters, and counts as unpublished for other plans of the product.',
  handle: async ({ caller, path }, { useCases }) =>
    endedPlan(await useCases.plans.end(caller.tenant, path.id, 'abandoned')),
})

/** POST /v1/plans/{id}/withdrawal: taken back before the first run. */
export const withdrawPlan = operation({
  ...ending,
  id: 'withdrawPlan',
  address: '/v1/plans/{id}/withdrawal',
  summary: 'Take back a plan that has no run',
  description: 'Ends a plan before its first run. It stays in the public counters, and counts against no other plan.',
  handle: async ({ caller, path }, { useCases }) =>
    endedPlan(await useCases.plans.end(caller.tenant, path.id, 'withdrawn')),
})

function endedPlan(outcome: { readonly outcome: 'done'; readonly record: PlanRecord } | PlanRefusal): Answer | Refusal {
  return outcome.outcome === 'done' ? ok(jsonBytes(outcome.record)) : refusalOf(outcome)
}

function refusalOf(outcome: PlanRefusal): Refusal {
  return outcome.outcome === 'unknown' ? nothingHere() : wrongState(outcome.status)
}

function createdPlan(record: PlanRecord): StoredResponse {
  const { status, headers, body } = created(`/v1/plans/${record.id}`, jsonBytes(record))
  return { status, headers, body: body ?? new Uint8Array(0) }
}
