/** Request bodies: JSON text that says what the value says, or bytes as they are. */
import { AbortError, BodyError } from './errors.ts'
import { openScope } from './scope.ts'

/**
 * The JSON text of a value.
 *
 * `JSON.stringify` writes NaN and Infinity as null; a missing number must never travel as "not recorded".
 *
 * @throws BodyError `ERR_NOT_JSON_VALUE` with the JSON Pointer of a member JSON cannot carry.
 */
export function jsonText(value: unknown): string {
  let fits = true
  const text = JSON.stringify(value, (_, member) => {
    fits &&= isJsonValue(member)
    return typeof member === 'bigint' ? null : member
  })
  if (fits && text !== undefined) return text
  const pointer = misfitPointer(value, '')
  throw new BodyError(
    pointer ?? '',
    `The body cannot be written as JSON: ${pointer || 'the whole value'} is ${describe(valueAt(value, pointer ?? ''))}. ` +
      'Leave out what was not recorded; give typed arrays as Array.from(values).',
  )
}

function isJsonValue(member: unknown): boolean {
  if (typeof member === 'number') return Number.isFinite(member)
  return (
    typeof member !== 'bigint' &&
    typeof member !== 'function' &&
    typeof member !== 'symbol' &&
    !ArrayBuffer.isView(member)
  )
}

function misfitPointer(value: unknown, pointer: string): string | undefined {
  if (value === undefined) return pointer === '' ? pointer : undefined
  if (!isJsonValue(value)) return pointer
  if (typeof value !== 'object' || value === null) return undefined
  for (const [name, member] of Object.entries(value)) {
    const inside = misfitPointer(member, `${pointer}/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`)
    if (inside !== undefined) return inside
  }
  return undefined
}

function valueAt(value: unknown, pointer: string): unknown {
  let at: unknown = value
  for (const step of pointer.split('/').slice(1)) {
    const name = step.replaceAll('~1', '/').replaceAll('~0', '~')
    at = typeof at === 'object' && at !== null ? Reflect.get(at, name) : undefined
  }
  return at
}

function describe(value: unknown): string {
  if (typeof value === 'number') return String(value)
  return ArrayBuffer.isView(value) ? 'a typed array' : `of type ${typeof value}`
}

/**
 * The bytes of a source, read to its end.
 *
 * @throws AbortError as soon as the signal aborts; the source is let go of. Otherwise the error of the source itself.
 */
export async function bytesOf(
  source: Uint8Array<ArrayBuffer> | Blob | ReadableStream<Uint8Array>,
  signal: AbortSignal | undefined,
): Promise<Uint8Array<ArrayBuffer>> {
  const scope = openScope(
    signal,
    (reason) => new AbortError('The call was aborted before anything was sent.', null, reason),
  )
  const through = new TransformStream<Uint8Array, Uint8Array>()
  const stream = source instanceof ReadableStream ? source : new Blob([source]).stream()
  const piped = stream.pipeTo(through.writable, { signal: scope.signal })
  try {
    const [buffer] = await Promise.all([new Response(through.readable).arrayBuffer(), piped])
    return new Uint8Array(buffer)
  } finally {
    scope.close()
  }
}

/**
 * The value of JSON text in UTF-8. What it means is for the service to say; here it only has to be JSON.
 *
 * @throws BodyError `ERR_NOT_JSON_VALUE` when it is none.
 */
export function valueOfJson(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause)
    throw new BodyError('', `The source does not hold JSON: ${reason}. Give the comparison as JSON in UTF-8.`)
  }
}
