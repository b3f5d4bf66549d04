/** Successful answers, before they are written to the network. */
import { createHash } from 'node:crypto'

/** An answer of the service. */
export interface Answer {
  /** HTTP status. */
  readonly status: number
  /** Header fields, names in lower case. */
  readonly headers: Readonly<Record<string, string>>
  /** Body; null where there is none. */
  readonly body: Uint8Array<ArrayBuffer> | null
  /** Body that is made while it is sent; `body` is null then. */
  readonly stream?: ReadableStream<Uint8Array<ArrayBuffer>>
}

/** Who may keep an answer, and for how long. */
export const caching = {
  /** Nobody: it belongs to one caller, or is true for this moment only. */
  none: 'no-store',
  /** The caller alone, asking each time whether it still holds. */
  revalidated: 'private, no-cache',
  /** Anybody, for five minutes: public and rarely changed. */
  shared: 'public, max-age=300',
  /** Anybody, for good: these bytes never change. */
  forGood: 'public, max-age=31536000, immutable',
} as const

const encoder = new TextEncoder()

/** UTF-8 bytes of a text. */
export function textBytes(text: string): Uint8Array<ArrayBuffer> {
  return encoder.encode(text)
}

/** JSON of a value, as bytes. */
export function jsonBytes(value: unknown): Uint8Array<ArrayBuffer> {
  return textBytes(JSON.stringify(value))
}

/** 200 with JSON. */
export function ok(body: Uint8Array<ArrayBuffer>, cacheControl: string = caching.none): Answer {
  return { status: 200, headers: { 'content-type': 'application/json', 'cache-control': cacheControl }, body }
}

/** 200 with JSON that can be asked for again by its entity tag. */
export function okTagged(body: Uint8Array<ArrayBuffer>, cacheControl: string): Answer {
  const answer = ok(body, cacheControl)
  return { ...answer, headers: { ...answer.headers, etag: entityTag(body) } }
}

/** 201 with JSON, at the address of what was made. */
export function created(location: string, body: Uint8Array<ArrayBuffer>): Answer {
  return {
    status: 201,
    headers: { 'content-type': 'application/json', 'cache-control': caching.none, location, etag: entityTag(body) },
    body,
  }
}

/** Strong entity tag of a body: equal tags mean equal bytes. RFC 9110 §8.8.3. */
export function entityTag(body: Uint8Array): string {
  return `"${createHash('sha256').update(body).digest('base64url')}"`
}

/**
 * The answer to a conditional GET: 304 without a body when the caller holds these bytes already, else the answer itself.
 *
 * Tags are compared weakly, as RFC 9110 §13.1.2 asks for If-None-Match; a 304 keeps all header fields but those of the
 * body.
 *
 * @param ifNoneMatch value of the header field; undefined when absent
 */
export function conditional(answer: Answer, ifNoneMatch: string | undefined): Answer {
  const { etag } = answer.headers
  if (ifNoneMatch === undefined || etag === undefined || answer.status !== 200) return answer
  const tags = ifNoneMatch.split(',').map((tag) => tag.trim().replace(/^W\//, ''))
  if (!tags.includes(etag) && !tags.includes('*')) return answer
  const { 'content-type': _, ...headers } = answer.headers
  return { status: 304, headers, body: null }
}
