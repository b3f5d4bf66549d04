// An application that scores what its users upload: one run on arrival, whole comparisons in this process, and signed by a
// service where the user wants to publish.
import { readComparison, readRunCheck } from '@fairpull/sdk/contract/schemas'
import { assess, checkRun } from '@fairpull/sdk/engine'
import { Hono } from 'hono'

/**
 * The application.
 *
 * @param {import('@fairpull/sdk').Fairpull} fairpull client of the service that signs
 */
export function createApp(fairpull) {
  const app = new Hono()

  // Between two pulls, while the machine is still strapped down: what is wrong with this run by itself?
  app.post('/runs', async (context) => {
    const read = readRunCheck(await bodyOf(context))
    if (!read.ok) return context.json({ problems: read.problems }, 422)
    const { isUsable, verdict, findings, cautions } = checkRun(read.request)
    return context.json({ isUsable, verdict, toPutRight: findings.filter(isAgainst).map(shownFinding), cautions })
  })

  // Weak evidence is an answer like any other: 200 with a low score. Only what cannot be read is refused.
  app.post('/scores', async (context) => {
    const read = readComparison(await bodyOf(context))
    if (!read.ok) return context.json({ problems: read.problems }, 422)
    return context.json(shownResult(await assess(read.comparison)))
  })

  // The identity of the upload travels along: sent twice, it is assessed and logged once.
  app.post('/uploads/:id/summary', async (context) => {
    const read = readComparison(await bodyOf(context))
    if (!read.ok) return context.json({ problems: read.problems }, 422)
    const idempotencyKey = `upload-${context.req.param('id')}`
    const outcome = await fairpull.assessments.create(read.comparison, { idempotencyKey }).safe()
    if (outcome.ok) {
      const { id, summary, result } = outcome.value
      return context.json({ id, summary, ...shownResult(result) }, 201)
    }
    const { code, message } = outcome.error
    return context.json({ code, message, requestId: outcome.requestId }, statusFor(outcome.error))
  })

  return app
}

/** The JSON of a request; undefined, which every reader refuses with a reason, where it is none. */
async function bodyOf(context) {
  return context.req.json().catch(() => undefined)
}

/** What the user is shown of a result: the score beside the standing, never instead of it. */
function shownResult({ standing, scope, score, verdict, claims, findings, nextSteps, limits }) {
  return {
    standing,
    scope,
    score,
    verdict,
    claims: claims.map(({ claim, judgement, sentence }) => ({ claim, judgement, sentence })),
    toPutRight: findings.filter(isAgainst).map(shownFinding),
    nextSteps,
    limits,
  }
}

const isAgainst = ({ status }) => status === 'breached' || status === 'marginal'
const shownFinding = ({ check, status, sentence, remedy }) => ({ check, status, sentence, remedy })

/**
 * What our user is told when the service did not sign: a refusal of the document is theirs to put right, everything else is
 * ours. An answer that does not verify is never passed on.
 */
function statusFor(error) {
  if (error.name === 'ApiError' && [400, 409, 413, 422].includes(error.status)) return error.status
  return error.name === 'VerificationError' ? 502 : 503
}
