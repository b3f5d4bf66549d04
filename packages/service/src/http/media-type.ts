import { type Refusal, refuse } from './problem.ts'

/** Media types of bodies. */
export type BodyType = 'application/json' | 'application/x-ndjson'

/** The type, with at most `charset=utf-8`; blanks and case as RFC 9110 §8.3.1 allows them. */
const inUtf8: Readonly<Record<BodyType, RegExp>> = {
  'application/json': /^\s*application\/json\s*(?:;\s*charset\s*=\s*(?:utf-8|"utf-8")\s*)?;?\s*$/i,
  'application/x-ndjson': /^\s*application\/x-ndjson\s*(?:;\s*charset\s*=\s*(?:utf-8|"utf-8")\s*)?;?\s*$/i,
}

/**
 * Refuses every body that is not uncompressed, in UTF-8 and of the type asked for; undefined when there is nothing to
 * refuse.
 *
 * A compressed body could unfold to a thousand times its size, so none is taken.
 */
export function refuseMediaType(headers: Headers, asked: BodyType = 'application/json'): Refusal | undefined {
  const encoding = headers.get('content-encoding')?.trim().toLowerCase() ?? 'identity'
  if (encoding !== 'identity' && encoding !== '') {
    return refuse('ERR_MEDIA_TYPE', 'Send the body uncompressed, without Content-Encoding.', {
      headers: { 'accept-encoding': 'identity' },
    })
  }
  const type = headers.get('content-type')
  if (type !== null && inUtf8[asked].test(type)) return undefined
  const what = asked === 'application/json' ? 'JSON' : 'JSON in lines'
  const given = type === null ? 'The request names no Content-Type' : `The body is not declared as ${what} in UTF-8`
  return refuse('ERR_MEDIA_TYPE', `${given}; send it with Content-Type: ${asked}.`, { headers: { accept: asked } })
}
