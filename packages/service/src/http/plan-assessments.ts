/** What comes of a plan: its assessment, the comparison behind it, and the public counters. */
import { type Answer, caching, jsonBytes, ok, okTagged } from './answer.ts'
import { answerOf, createdSummary, replayOf, supersedesParameter, withdrawnEvidence } from './assessments.ts'
import { operation } from './operation.ts'
import { textLike } from './parameter.ts'
import { planAssessmentBody } from './plan-bodies.ts'
import { refusedMembers, wrongState } from './plan-refusals.ts'
import { planPath } from './plans.ts'
import { nothingHere, refuse } from './problem.ts'

/** POST /v1/plans/{id}/assessment: 201 with a signed summary, once in the life of a plan. */
export const assessPlan = operation({
  id: 'assessPlan',
  method: 'post',
  address: '/v1/plans/{id}/assessment',
  tag: 'Plans',
  summary: 'Assess a plan',
  description:
    'Judges every logged run of a closed plan under its terms, signs the summary and stores it. A run is used, or left out by a ' +
    'rule of the plan that sees neither side nor gain. The registered claims are judged with the primary one weighted, at a ' +
    'level divided by the plans for the product that were run and not published; further claims can be sent and are ' +
    'exploratory. Whatever was not done as planned is named, and leaves the claims undecided. Runs of a withdrawn summary are ' +
    'signed again only where `supersedes` names it. Sent again, it answers the same summary.',
  scope: 'assessments:write',
  path: planPath,
  query: { supersedes: supersedesParameter },
  header: {},
  body: planAssessmentBody,
  answers: {
    201: {
      description: 'Assessed, signed and stored.',
      schema: 'IssuedSummary',
      headers: {
        location: 'Address of the assessment.',
        etag: 'Entity tag of the body, the same as at that address.',
        'idempotency-replayed': '`true` when the plan had been assessed before; absent otherwise.',
      },
    },
  },
  refusals: ['ERR_NOT_FOUND', 'ERR_PLAN_STATE', 'ERR_SUPERSEDES'],
  handle: async ({ caller, path, query, body }, { useCases }) => {
    const supersedes = query.supersedes ?? null
    const request = { caller, id: path.id, exploratory: body, supersedes, answer: createdSummary }
    const assessed = await useCases.plans.assess(request)
    switch (assessed.outcome) {
      case 'issued':
        return answerOf(assessed.response)
      case 'assessed':
        return replayOf(createdSummary(assessed.assessment))
      case 'refused':
        return refusedMembers(assessed.problems)
      case 'withdrawn-evidence':
        return withdrawnEvidence(assessed.summaries)
      case 'unknown':
        return nothingHere()
      case 'wrong-state':
        return wrongState(assessed.status)
    }
  },
})

/** GET /v1/plans/{id}/comparison: what was judged, to be computed again by anybody it is given to. */
export const getPlanComparison = operation({
  id: 'getPlanComparison',
  method: 'get',
  address: '/v1/plans/{id}/comparison',
  tag: 'Plans',
  summary: 'Read the comparison a plan came to',
  description:
    'The comparison that was judged, with every run and with what the register knew of the plan: from it the result can be ' +
    'computed again offline. There is none before the assessment.',
  scope: 'assessments:read',
  path: planPath,
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The comparison.', schema: 'Comparison', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ caller, path }, { useCases }) => {
    const comparison = await useCases.plans.comparison(caller.tenant, path.id)
    return comparison === undefined ? nothingHere() : okTagged(jsonBytes(comparison), caching.revalidated)
  },
})

const NAME = /^[^\p{Cc}\p{Cs}]{1,200}$/u

/** GET /v1/plan-counters: how many plans a publisher needed for a product. */
export const getPlanCounters = operation({
  id: 'getPlanCounters',
  method: 'get',
  address: '/v1/plan-counters',
  tag: 'Plans',
  summary: 'Count the plans of a publisher for a product',
  description:
    'How many plans an organisation registered for a product, and what became of them. Both names are given as they stand in ' +
    'a summary; there is no list of either. No key is asked for.',
  scope: null,
  path: {},
  query: {
    publisher: {
      ...textLike('Name of the organisation, `issue.submitter` of a summary.', NAME, 'a name'),
      example: 'Workshop A',
    },
    product: {
      ...textLike('The product, `result.plan.product` of a summary.', NAME, 'a name'),
      example: 'silencer',
    },
  },
  header: {},
  body: null,
  answers: { 200: { description: 'The counters.', schema: 'PlanCounters' } },
  refusals: ['ERR_STORE_UNAVAILABLE'],
  handle: async ({ query }, { useCases }): Promise<Answer | ReturnType<typeof refuse>> => {
    const { publisher, product } = query
    if (publisher === undefined || product === undefined) {
      return refuse('ERR_PARAMETER', 'Give both query parameters, publisher and product.')
    }
    return ok(jsonBytes(await useCases.plans.counters({ publisher, product })))
  },
})
