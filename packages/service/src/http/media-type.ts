import { type Refusal, refuse } from './problem.ts'

/** JSON, with at most `charset=utf-8`; blanks and case as RFC 9110 §8.3.1 allows them. */
const JSON_IN_UTF8 = /^\s*application\/json\s*(?:;\s*charset\s*=\s*(?:utf-8|"utf-8")\s*)?;?\s*$/i

/**
 * Refuses every body that is not uncompressed JSON in UTF-8; undefined when there is nothing to refuse.
 *
 * A compressed body could unfold to a thousand times its size, so none is taken.
 */
export function refuseMediaType(headers: Headers): Refusal | undefined {
  const encoding = headers.get('content-encoding')?.trim().toLowerCase() ?? 'identity'
  if (encoding !== 'identity' && encoding !== '') {
    return refuse('ERR_MEDIA_TYPE', 'Send the body uncompressed, without Content-Encoding.', {
      headers: { 'accept-encoding': 'identity' },
    })
  }
  const type = headers.get('content-type')
  if (type !== null && JSON_IN_UTF8.test(type)) return undefined
  const given = type === null ? 'The request names no Content-Type' : 'The body is not declared as JSON in UTF-8'
  return refuse('ERR_MEDIA_TYPE', `${given}; send it with Content-Type: application/json.`, {
    headers: { accept: 'application/json' },
  })
}
