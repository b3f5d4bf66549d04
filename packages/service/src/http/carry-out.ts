/** The way of a request through an operation: each step yields what the next one needs, or a refusal. */
import { createHash } from 'node:crypto'
import { parseStrictJson } from '@fairpull/sdk/verify'
import type { ApiKeys, Caller } from '../ports.ts'
import type { Answer } from './answer.ts'
import { authenticate } from './authenticate.ts'
import type { BodyBudget, BodyLease } from './body-budget.ts'
import { refuseMediaType } from './media-type.ts'
import type { BodyFormat, Operation, OperationRequest, ServiceFace } from './operation.ts'
import { type ParameterSet, readHeaders, readQuery } from './parameter.ts'
import { isRefusal, nothingHere, type Refusal, refuse } from './problem.ts'
import type { CountedRequest, RateLimit } from './rate-limit.ts'
import { readRequestBody } from './request-body.ts'
import type { Scope } from './scope.ts'
import type { Slots } from './slots.ts'

/** What the steps work with. */
export interface Gate {
  readonly service: ServiceFace
  readonly apiKeys: ApiKeys
  /** Largest body. [bytes] */
  readonly bodyLimit: number
  /** Room for bodies that wait in memory. */
  readonly budget: BodyBudget
  /** Places for bodies that are parsed and worked on. */
  readonly slots: Slots
  /** Requests that an API key may make; undefined without a limit. */
  readonly rateLimit: RateLimit | undefined
}

/** A request as it came. */
export interface Incoming {
  readonly request: Request
  /** Path parameters, decoded. */
  readonly path: Readonly<Record<string, string>>
  /** Identity of the request. */
  readonly requestId: string
  /** Told who asks, as soon as that is known. */
  readonly onCaller: (caller: Caller) => void
  /** Told of a failure behind one line of a body of lines; the other lines are carried out all the same. */
  readonly onFailure: (thrown: unknown) => void
}

/** A request of any operation. */
export type AnyRequest = OperationRequest<ParameterSet, ParameterSet, ParameterSet, unknown, Scope | null>

/** What is known of a request before its body. */
export type Head = Omit<AnyRequest, 'body' | 'digest'>

/**
 * Carries a request out.
 *
 * 1. While the service shuts down, only questions about its state are answered.
 * 2. The path parameters have the form of what they name, else there is nothing at this address.
 * 3. The caller is known and permitted.
 * 4. Query and header fields are accepted, and the key has requests left.
 * 5. The body, if there is one, has the right type and size, waits for its place, is JSON with one meaning, and is read.
 * 6. The operation does its work.
 */
export async function carryOut(operation: Operation, incoming: Incoming, gate: Gate): Promise<Answer | Refusal> {
  const head = await readHead(operation, incoming, gate)
  if (isRefusal(head)) return head
  const counted = await countRequest(head, gate)
  if (isRefusal(counted)) return counted
  const outcome = await work(operation, head, incoming, gate)
  return counted === undefined ? outcome : { ...outcome, headers: { ...outcome.headers, ...counted.headers } }
}

/** Counts a request against its key: its header fields, a refusal of one too many, or undefined without a limit. */
export async function countRequest(
  { caller }: Head,
  { rateLimit }: Gate,
): Promise<CountedRequest | Refusal | undefined> {
  const counted = caller === undefined ? undefined : await rateLimit?.count(caller.apiKey)
  if (counted?.isTooMany !== true) return counted
  const { restart_s, headers } = counted
  return refuse('ERR_RATE_LIMITED', `This API key has no request left for ${restart_s} s.`, {
    headers: { ...headers, 'retry-after': String(restart_s) },
  })
}

/** Steps 5 and 6. */
async function work(operation: Operation, head: Head, { request }: Incoming, gate: Gate): Promise<Answer | Refusal> {
  if (operation.body === null) {
    return operation.handle({ ...head, body: undefined, digest: () => digestOf(request, NO_BYTES) }, gate.service)
  }

  const lease = gate.budget.open()
  try {
    return await withBody(operation, operation.body, head, request, { ...gate, lease })
  } finally {
    lease.release()
  }
}

const NO_BYTES = new Uint8Array(0)

/** Steps 1 to 4. */
export async function readHead(operation: Operation, incoming: Incoming, gate: Gate): Promise<Head | Refusal> {
  if (gate.service.isDraining() && operation.whileDraining !== true) return draining()
  const path = readPath(operation.path, incoming.path)
  if (isRefusal(path)) return path
  const caller = await identify(operation, incoming, gate.apiKeys)
  if (isRefusal(caller)) return caller

  const { request } = incoming
  const query = readQuery(operation.query, new URL(request.url).searchParams)
  const header = readHeaders(operation.header, request.headers)
  const refused = [...query.refused, ...header.refused]
  if (refused.length > 0) return refuse('ERR_PARAMETER', refused.join(' '))
  return { path, caller, query: query.values, header: header.values } as Head
}

function readPath(parameters: ParameterSet, texts: Readonly<Record<string, string>>): object | Refusal {
  const values: Record<string, unknown> = {}
  for (const [name, parameter] of Object.entries(parameters)) {
    const value = parameter.read(texts[name] ?? '')
    if (value === undefined) return nothingHere()
    values[name] = value
  }
  return values
}

async function identify(
  { scope }: Operation,
  { request, onCaller }: Incoming,
  apiKeys: ApiKeys,
): Promise<Caller | Refusal | undefined> {
  if (scope === null) return undefined
  const caller = await authenticate(request.headers, scope, apiKeys)
  if (!isRefusal(caller)) onCaller(caller)
  return caller
}

/** Step 5, around step 6: the place is held until the work is done. */
async function withBody(
  operation: Operation,
  format: BodyFormat<unknown>,
  head: Head,
  request: Request,
  gate: Gate & { readonly lease: BodyLease },
): Promise<Answer | Refusal> {
  const refusedType = refuseMediaType(request.headers)
  if (refusedType !== undefined) return refusedType
  const bytes = await readRequestBody(request, gate.bodyLimit, gate.lease)
  if (isRefusal(bytes)) return bytes

  const leave = await gate.slots.enter()
  if (leave === undefined)
    return refuse('ERR_BUSY', 'Too many requests are waiting.', { headers: { 'retry-after': '1' } })
  try {
    const parsed = parseBody(bytes)
    const body = isRefusal(parsed) ? parsed : readBody(format, parsed.value)
    if (isRefusal(body)) return body
    return await operation.handle({ ...head, body: body.body, digest: () => digestOf(request, bytes) }, gate.service)
  } finally {
    leave()
  }
}

/** Objects, arrays and names in a body: some thousand runs with all that can be said of them. */
const MOST_PARTS = 65_536

/**
 * The JSON value behind bytes.
 *
 * Empty arrays by the hundred thousand take a parser far longer than numbers of the same size, and nothing else can be
 * done meanwhile: they are limited as well.
 */
export function parseBody(bytes: Uint8Array): { readonly value: unknown } | Refusal {
  const parsed = parseStrictJson(bytes, { maxParts: MOST_PARTS })
  if (parsed.ok) return { value: parsed.value }
  const { code, pointer, detail } = parsed.problem
  const where = pointer === '' ? '' : ` at ${pointer}`
  return refuse('ERR_JSON', `The body is not JSON with one meaning${where}: ${detail}.`, {
    errors: [{ pointer, code, detail }],
  })
}

/** The body behind a JSON value. */
export function readBody(format: BodyFormat<unknown>, value: unknown): { readonly body: unknown } | Refusal {
  const read = format.read(value)
  if (read.ok) return { body: read.body }
  const [first] = read.problems
  const others = read.problems.length > 1 ? `, and ${read.problems.length - 1} more` : ''
  return refuse('ERR_BODY_INVALID', `${first?.pointer ?? ''}: ${first?.detail ?? 'refused'}${others}.`, {
    errors: read.problems,
  })
}

/** SHA-256 over method, address with query, and body. */
export function digestOf(request: Request, bytes: Uint8Array): Uint8Array {
  const { pathname, search } = new URL(request.url)
  return createHash('sha256').update(`${request.method} ${pathname}${search}\n`).update(bytes).digest()
}

/** The answer while the service shuts down. */
export function draining(): Refusal {
  return refuse('ERR_DRAINING', 'The service is shutting down; send the same request again.', {
    headers: { 'retry-after': '1', connection: 'close' },
  })
}
