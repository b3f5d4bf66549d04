/** From the table of operations to an application that answers HTTP requests. */
import { type Context, Hono } from 'hono'
import type { Caller } from '../ports.ts'
import { type Answer, conditional } from './answer.ts'
import { carryOut, type Gate, type Incoming } from './carry-out.ts'
import { carryOutLines } from './carry-out-lines.ts'
import { deprecationFields } from './deprecation.ts'
import { refusalOfThrown } from './failure.ts'
import { describeError, type Log } from './log.ts'
import type { Operation } from './operation.ts'
import { isRefusal, nothingHere, type ProblemCode, problemAnswer, type Refusal, refuse } from './problem.ts'
import { requestIdOf } from './request-id.ts'

/** What the router works with. */
export interface RouterParts {
  readonly operations: readonly Operation[]
  readonly gate: Gate
  readonly log: Log
  /** A fresh request id. */
  readonly freshId: () => string
}

/** Header fields of every answer. */
const EVERY_ANSWER = { 'x-content-type-options': 'nosniff', 'referrer-policy': 'no-referrer' } as const

/** The application: every request is answered, every error as problem+json, every answer carries its request id. */
export function createRouter(parts: RouterParts): Hono {
  const app = new Hono()
  for (const operation of parts.operations) {
    const carry = operation.eachLine === undefined ? carryOut : carryOutLines
    app.on(operation.method.toUpperCase(), honoPath(operation.address), (context) =>
      answered(context, parts, operation, (watch) =>
        carry(operation, { request: context.req.raw, path: context.req.param(), ...watch }, parts.gate),
      ),
    )
  }
  for (const [address, methods] of methodsByAddress(parts.operations)) {
    app.all(honoPath(address), (context) => answered(context, parts, null, async () => wrongMethod(methods)))
  }
  app.notFound((context) => answered(context, parts, null, async () => nothingHere()))
  return app
}

type Watch = Pick<Incoming, 'requestId' | 'onCaller' | 'onFailure'>

/** The work of one request, and around it: identity, failure, condition, log. */
async function answered(
  { req }: Context,
  { log, freshId }: RouterParts,
  operation: Operation | null,
  work: (watch: Watch) => Promise<Answer | Refusal>,
): Promise<Response> {
  const startedAt = performance.now()
  const requestId = requestIdOf(req.header('x-request-id') ?? null, freshId)
  const asked: { caller: Caller | null } = { caller: null }
  const onFailure = (thrown: unknown) =>
    log.write({ event: 'failure', requestId, operation: operation?.id ?? null, error: describeError(thrown) })
  const onCaller = (caller: Caller) => {
    asked.caller = caller
  }
  const outcome = await outcomeOf(() => work({ requestId, onCaller, onFailure }), onFailure)
  const { answer, code } = writtenOut(outcome, requestId, req.header('if-none-match'))
  log.write({
    event: 'request',
    requestId,
    operation: operation?.id ?? null,
    method: req.method.slice(0, 10),
    status: answer.status,
    code,
    duration_ms: Math.round((performance.now() - startedAt) * 100) / 100,
    tenant: asked.caller?.tenant ?? null,
    apiKey: asked.caller?.apiKey ?? null,
  })
  const fields = operation?.deprecation === undefined ? {} : deprecationFields(operation.deprecation)
  return responseOf({ ...answer, headers: { ...fields, ...answer.headers } }, requestId)
}

async function outcomeOf(
  work: () => Promise<Answer | Refusal>,
  onFailure: (thrown: unknown) => void,
): Promise<Answer | Refusal> {
  try {
    return await work()
  } catch (thrown) {
    onFailure(thrown)
    return refusalOfThrown(thrown)
  }
}

function writtenOut(
  outcome: Answer | Refusal,
  requestId: string,
  ifNoneMatch: string | undefined,
): { readonly answer: Answer; readonly code: ProblemCode | null } {
  if (isRefusal(outcome)) return { answer: problemAnswer(outcome, requestId), code: outcome.refused }
  return { answer: conditional(outcome, ifNoneMatch), code: null }
}

/** An answer as the response that goes to the network. */
export function responseOf({ status, headers, body, stream }: Answer, requestId: string): Response {
  return new Response(stream ?? body, { status, headers: { ...EVERY_ANSWER, ...headers, 'x-request-id': requestId } })
}

function methodsByAddress(operations: readonly Operation[]): ReadonlyMap<string, readonly string[]> {
  const methods = new Map<string, string[]>()
  for (const { address, method } of operations) {
    const known = methods.get(address) ?? []
    methods.set(address, [...known, ...(method === 'get' ? ['GET', 'HEAD'] : [method.toUpperCase()])])
  }
  return methods
}

function wrongMethod(methods: readonly string[]): Refusal {
  const allow = methods.join(', ')
  return refuse('ERR_METHOD', `This address answers ${allow}.`, { headers: { allow } })
}

/** `{id}` in OpenAPI is `:id` in the router; `{tile}` spans the rest of the address, which OpenAPI cannot say. */
function honoPath(address: string): string {
  if (address.endsWith('/{tile}')) return address.replace('{tile}', ':tile{.+}')
  return address.replaceAll(/\{(\w+)\}/g, ':$1')
}
