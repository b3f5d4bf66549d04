/**
 * Digests that tie a result to its data. Every digest is SHA-256, written `sha256:` and 64 lower-case hex digits, over a
 * domain tag and bytes that say one thing only, so that a digest of one kind can never stand for another.
 */
import { float64Bytes, readChannelValues } from '../contract/channel-values.ts'
import type { Comparison, InputDigests, Protocol, Run, RunDigest } from '../contract/index.ts'
import { canonicalJson, canonicalJsonBytes } from './canonical-json.ts'
import { IntegrityError } from './integrity-error.ts'
import { isJsonObject, type JsonObject } from './json-object.ts'
import { jsonPointer } from './json-pointer.ts'
import { sha256Text } from './sha256.ts'

const RUN_TAG = 'fairpull-run-v1\n'
const COMPARISON_TAG = 'fairpull-comparison-v1\n'
const PROTOCOL_TAG = 'fairpull-protocol-v1\n'

const encoder = new TextEncoder()

/**
 * Digest of one run; the same whether its channels are written as arrays or as base64.
 *
 * SHA-256 over: the tag `fairpull-run-v1` and a line feed; the RFC 8785 form of the run in which every channel has lost
 * its values and kept all its other members; then per channel, in code unit order of the names: name, 0x00, unit, 0x00,
 * number of values as uint64 little-endian, values as float64 little-endian.
 *
 * @throws IntegrityError `ERR_RUN_NOT_DIGESTIBLE` when a channel is no channel or holds a number that none may hold;
 * `ERR_NOT_CANONICALISABLE` when another member cannot be said in JSON.
 */
export async function runDigest(run: Run): Promise<string> {
  if (!isJsonObject(run)) throw new IntegrityError('ERR_RUN_NOT_DIGESTIBLE', 'this is no run')
  const { channels, ...rest } = run
  if (channels === undefined) return sha256Text(concatenated([encoder.encode(RUN_TAG), canonicalJsonBytes(rest)]))

  if (!isJsonObject(channels)) throw new IntegrityError('ERR_RUN_NOT_DIGESTIBLE', 'these are no channels', '/channels')
  const columns = columnsOf(channels)
  const heads = Object.fromEntries(columns.map(({ name, head }) => [name, head]))
  const described = canonicalJsonBytes({ ...rest, channels: heads })
  return sha256Text(concatenated([encoder.encode(RUN_TAG), described, ...columns.flatMap(columnBytes)]))
}

/**
 * Digest of a whole comparison: SHA-256 over the tag `fairpull-comparison-v1`, a line feed, and the RFC 8785 form of the
 * comparison in which `runs` is the list of run digests, in document order.
 *
 * @throws IntegrityError as `runDigest` does; `ERR_COMPARISON_NOT_DIGESTIBLE` when there is no list of runs.
 */
export async function comparisonDigest(comparison: Comparison): Promise<string> {
  return (await inputDigests(comparison)).comparison
}

/**
 * Digest of a comparison and of each of its runs, as they stand in a result.
 *
 * @throws IntegrityError as `comparisonDigest` does.
 */
export async function inputDigests(comparison: Comparison): Promise<InputDigests> {
  if (!isJsonObject(comparison) || !Array.isArray(comparison.runs)) {
    throw new IntegrityError('ERR_COMPARISON_NOT_DIGESTIBLE', 'a comparison has a list of runs', '/runs')
  }
  const runs: RunDigest[] = []
  for (const run of comparison.runs) {
    const digest = await runDigest(run)
    runs.push({ run: run.id, digest })
  }
  const described = canonicalJson({ ...comparison, runs: runs.map(({ digest }) => digest) })
  return { comparison: await sha256Text(encoder.encode(COMPARISON_TAG + described)), runs }
}

/**
 * Digest of a protocol: SHA-256 over the tag `fairpull-protocol-v1`, a line feed, and its RFC 8785 form.
 *
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` when it cannot be said in JSON.
 */
export async function protocolDigest(protocol: Protocol): Promise<string> {
  return sha256Text(encoder.encode(PROTOCOL_TAG + canonicalJson(protocol)))
}

/** A channel taken apart: what describes it, and its numbers. */
interface Column {
  readonly name: string
  readonly unit: string
  readonly head: JsonObject
  readonly values: Float64Array
}

function columnsOf(channels: object): readonly Column[] {
  const entries = Object.entries(channels).filter(([, channel]) => channel !== undefined)
  return entries.sort(([one], [other]) => (one < other ? -1 : 1)).map(([name, channel]) => columnOf(name, channel))
}

function columnOf(name: string, channel: unknown): Column {
  if (!isJsonObject(channel)) throw undigestible('this is no channel', name, '')
  const { values, base64, ...head } = channel
  const { unit } = head
  if (typeof unit !== 'string') throw undigestible('the channel has no unit', name, '/unit')

  const read = readChannelValues({ values, base64 } as Parameters<typeof readChannelValues>[0])
  if (!read.ok) throw undigestible(read.problem.detail, name, read.problem.pointer)
  return { name, unit, head, values: read.values }
}

function columnBytes({ name, unit, values }: Column): readonly Uint8Array[] {
  const count = new DataView(new ArrayBuffer(8))
  count.setBigUint64(0, BigInt(values.length), true)
  return [encoder.encode(`${name}\0${unit}\0`), new Uint8Array(count.buffer), float64Bytes(values)]
}

function concatenated(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(parts.reduce((length, part) => length + part.length, 0))
  let at = 0
  for (const part of parts) {
    bytes.set(part, at)
    at += part.length
  }
  return bytes
}

function undigestible(message: string, name: string, inside: string): IntegrityError {
  return new IntegrityError('ERR_RUN_NOT_DIGESTIBLE', message, jsonPointer(['channels', name]) + inside)
}
