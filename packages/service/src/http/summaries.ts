/** `/v1/summaries`: what was made public, for anybody to read; and taking it back. */
import { UUID } from '../identity.ts'
import type { LoggedAssessment, Tombstone } from '../usecases/publish-summary.ts'
import { type Answer, caching, jsonBytes, ok, okTagged } from './answer.ts'
import { issuedSummaryBytes } from './assessments.ts'
import { fieldProblem, unknownMembers } from './body-members.ts'
import { type BodyFormat, type BodyOutcome, operation } from './operation.ts'
import { pageOperations } from './pages.ts'
import { textLike } from './parameter.ts'
import { nothingHere, type Refusal, refuse } from './problem.ts'

const summaryPath = { id: textLike('Identity of the summary.', UUID, 'the id of a summary') }

const publicationBody: BodyFormat<{ readonly runs: boolean }> = {
  schema: 'PublicationRequest',
  examples: { summaryOnly: { runs: false }, withRuns: { runs: true } },
  read: (value) => readOnly(value, 'runs', (runs) => typeof runs === 'boolean', 'say true or false'),
}

const REASON = /^[^\p{Cc}\p{Cs}]{1,2000}$/u

const withdrawalBody: BodyFormat<{ readonly reason: string }> = {
  schema: 'WithdrawalRequest',
  examples: { mistake: { reason: 'The baseline was measured with a torn intake hose.' } },
  read: (value) =>
    readOnly(
      value,
      'reason',
      (reason) => typeof reason === 'string' && REASON.test(reason),
      'give 1 to 2000 characters on one line',
    ),
}

/** POST /v1/assessments/{id}/publication: from now on anybody may read the summary. */
export const publishAssessment = operation({
  id: 'publishAssessment',
  method: 'post',
  address: '/v1/assessments/{id}/publication',
  tag: 'Assessments',
  summary: 'Publish a summary',
  description:
    'Makes the summary public at `/v1/summaries/{id}`, and with `runs` the comparison with its runs as well, so that anybody ' +
    'can compute the result again. It cannot be made private again: a published summary can be withdrawn, which stays ' +
    'visible. Sent again it changes nothing, but may add the runs.',
  scope: 'summaries:publish',
  path: summaryPath,
  query: {},
  header: {},
  body: publicationBody,
  answers: { 200: { description: 'Published.', schema: 'SummaryStatus' } },
  refusals: ['ERR_NOT_FOUND', 'ERR_WITHDRAWN'],
  handle: async ({ caller, path, body }, { useCases }) => {
    const found = await useCases.summaries.publish({ tenant: caller.tenant, id: path.id, withRuns: body.runs })
    if (found === undefined) return nothingHere()
    return found.withdrawal === null ? ok(jsonBytes(statusOf(found, undefined))) : withdrawn(found)
  },
})

/** GET /v1/summaries/{id}: a published summary, byte for byte as it was issued. */
export const getSummary = operation({
  id: 'getSummary',
  method: 'get',
  address: '/v1/summaries/{id}',
  tag: 'Summaries',
  summary: 'Read a published summary',
  description:
    'The signed summary with its place in the log, byte for byte as it was issued; what is signed never changes, so it can be ' +
    'kept for good. Whether it was withdrawn since stands at `/status`.',
  scope: null,
  path: summaryPath,
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The signed summary.', schema: 'IssuedSummary', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND', 'ERR_WITHDRAWN', 'ERR_LOG_STOPPED', 'ERR_STORE_UNAVAILABLE'],
  handle: async ({ path }, { useCases }) => {
    const found = await useCases.summaries.find(path.id)
    if (found === undefined) return nothingHere()
    return found.withdrawal === null ? publishedAnswer(found) : withdrawn(found)
  },
})

/** Answers to what is at hand; bytes and entity tag are made once for all who read it. */
const publishedAnswers = new WeakMap<LoggedAssessment, Answer>()

function publishedAnswer(found: LoggedAssessment): Answer {
  const known = publishedAnswers.get(found)
  if (known !== undefined) return known
  const answer = okTagged(issuedSummaryBytes(found), caching.forGood)
  publishedAnswers.set(found, answer)
  return answer
}

/** GET /v1/summaries/{id}/status: whether it still stands. */
export const getSummaryStatus = operation({
  id: 'getSummaryStatus',
  method: 'get',
  address: '/v1/summaries/{id}/status',
  tag: 'Summaries',
  summary: 'Ask whether a summary was withdrawn',
  description:
    'Since when it is public, whether with its runs, and, once it was withdrawn, the signed and logged notice.',
  scope: null,
  path: summaryPath,
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'How it stands.', schema: 'SummaryStatus' } },
  refusals: ['ERR_NOT_FOUND', 'ERR_LOG_STOPPED', 'ERR_STORE_UNAVAILABLE'],
  handle: async ({ path }, { useCases }) => {
    const found = await useCases.summaries.find(path.id)
    if (found === undefined) return nothingHere()
    return ok(jsonBytes(statusOf(found, await useCases.summaries.tombstone(found))), STATUS_CACHING)
  },
})

/** A status holds for a moment. */
const STATUS_CACHING = 'public, max-age=5'

/** GET /v1/summaries/{id}/runs: what was judged, where its owner chose to show it. */
export const getSummaryRuns = operation({
  id: 'getSummaryRuns',
  method: 'get',
  address: '/v1/summaries/{id}/runs',
  tag: 'Summaries',
  summary: 'Read the runs behind a summary',
  description:
    'The comparison with its runs, if it was published with them: from it anybody can compute the result again.',
  scope: null,
  path: summaryPath,
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The comparison.', schema: 'Comparison', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND', 'ERR_STORE_UNAVAILABLE'],
  handle: async ({ path }, { useCases }) => {
    const comparison = await useCases.summaries.runs(path.id)
    return comparison === undefined ? nothingHere() : okTagged(jsonBytes(comparison), caching.forGood)
  },
})

/** POST /v1/summaries/{id}/withdrawal: takes a summary back, for good. */
export const withdrawSummary = operation({
  id: 'withdrawSummary',
  method: 'post',
  address: '/v1/summaries/{id}/withdrawal',
  tag: 'Summaries',
  summary: 'Withdraw a summary',
  description:
    'Takes a summary of your own back, published or not. The tombstone with date and reason stays in public and in the log, ' +
    'and a verification by this service says so. It cannot be undone. The same runs are signed again only in a summary that ' +
    '`supersedes` this one. Sent again it answers the first withdrawal.',
  scope: 'summaries:publish',
  path: summaryPath,
  query: {},
  header: {},
  body: withdrawalBody,
  answers: { 200: { description: 'Withdrawn.', schema: 'WithdrawalNotice' } },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ caller, path, body }, { useCases }) => {
    const tombstone = await useCases.summaries.withdraw({ tenant: caller.tenant, id: path.id, reason: body.reason })
    return tombstone === undefined ? nothingHere() : ok(jsonBytes(noticeOf(tombstone)))
  },
})

/** Chart, report and badge of a published summary; the runs behind them only where they were published as well. */
export const summaryPages = pageOperations({
  base: '/v1/summaries',
  name: 'Summary',
  tag: 'Summaries',
  scope: null,
  cacheControl: STATUS_CACHING,
  find: (useCases, _caller, id) => useCases.summaries.reportSource(id),
})

function noticeOf({ id, at, reason, notice, log: { index, checkpoint, proof } }: Tombstone) {
  return { id, withdrawnAt: at.toISOString(), reason, notice, log: { index, checkpoint, proof } }
}

function statusOf({ id, status, publication }: LoggedAssessment, tombstone: Tombstone | undefined) {
  return {
    id,
    status,
    publishedAt: publication?.at.toISOString() ?? null,
    withRuns: publication?.withRuns ?? false,
    withdrawal: tombstone === undefined ? null : noticeOf(tombstone),
  }
}

function withdrawn({ withdrawal }: LoggedAssessment): Refusal {
  const { at, reason } = withdrawal ?? { at: new Date(0), reason: '' }
  return refuse('ERR_WITHDRAWN', `This summary was withdrawn on ${at.toISOString()}: ${reason}`)
}

/** A body of one member. */
function readOnly<Name extends string, Value>(
  value: unknown,
  name: Name,
  isAccepted: (given: unknown) => boolean,
  remedy: string,
): BodyOutcome<{ readonly [N in Name]: Value }> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return { ok: false, problems: [fieldProblem('', 'ERR_WRONG_TYPE', `give an object with \`${name}\``)] }
  }
  const members = value as Readonly<Record<string, unknown>>
  const strangers = Object.keys(members).filter((each) => each !== name)
  const problems = unknownMembers(strangers, 'leave it out')
  if (members[name] === undefined) problems.push(fieldProblem(`/${name}`, 'ERR_MISSING_MEMBER', remedy))
  else if (!isAccepted(members[name])) problems.push(fieldProblem(`/${name}`, 'ERR_WRONG_TYPE', remedy))
  if (problems.length > 0) return { ok: false, problems }
  return { ok: true, body: members as { readonly [N in Name]: Value } }
}
