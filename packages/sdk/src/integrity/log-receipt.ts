/** The place of a signed summary in the log: what its entry is, and what a receipt shows of it. */
import { base64Bytes } from '../contract/channel-values.ts'
import { type Checkpoint, readSignedCheckpoint } from './checkpoint.ts'
import { isJsonObject } from './json-object.ts'
import type { LogView } from './log-view.ts'
import { verifyInclusion } from './merkle-proof.ts'
import { leafHash } from './merkle-tree.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { sha256 } from './sha256.ts'
import type { NoteVerifier } from './signed-note.ts'

/** Why a place in the log was refused. */
export type LogCode = 'ERR_LOG_RECEIPT_FORM' | 'ERR_LOG_CHECKPOINT' | 'ERR_LOG_INCLUSION' | 'ERR_LOG_FORK'

/** What a receipt shows. `log-unknown`: the entry is in that tree, but no key at hand signed its checkpoint. */
export interface LogEvidence {
  readonly status: 'proven' | 'log-unknown'
  /** Index of the entry; null where nobody vouches for the log. */
  readonly index: number | null
  /** The tree that holds it. */
  readonly checkpoint: Checkpoint
}

const SUMMARY_TAG = 'fairpull-summary-v1\n'
const WITHDRAWAL_TAG = 'fairpull-withdrawal-v1\n'

const encoder = new TextEncoder()

/** The log entry of a signed summary: the tag `fairpull-summary-v1`, a line feed, and the SHA-256 of its ASCII bytes. */
export function summaryLogEntry(jws: string): Promise<Uint8Array<ArrayBuffer>> {
  return taggedEntry(SUMMARY_TAG, jws)
}

/** The log entry of a signed withdrawal: as that of a summary, under the tag `fairpull-withdrawal-v1`. */
export function withdrawalLogEntry(jws: string): Promise<Uint8Array<ArrayBuffer>> {
  return taggedEntry(WITHDRAWAL_TAG, jws)
}

async function taggedEntry(tag: string, jws: string): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array([...encoder.encode(tag), ...(await sha256(encoder.encode(jws)))])
}

/**
 * What a receipt shows of an entry.
 *
 * 1. The receipt has its three members. 2. Its checkpoint is a signed note of a checkpoint; where a key of its origin is
 * trusted, that key signed it. 3. The proof leads from the entry at this index to the root hash of the checkpoint.
 *
 * @param receipt a JSON value, taken as hostile
 * @param logs keys of the logs that the reader trusts
 * @returns the evidence, or a closed code. Never throws.
 */
export async function checkLogReceipt(
  entry: Uint8Array,
  receipt: unknown,
  logs: readonly NoteVerifier[],
): Promise<Outcome<LogEvidence, LogCode>> {
  const read = readReceipt(receipt)
  if (read === undefined) {
    return refused('ERR_LOG_RECEIPT_FORM', 'a place in the log is an index, a checkpoint and a proof')
  }
  const checkpoint = await readSignedCheckpoint(read.checkpoint, logs)
  if (!checkpoint.ok) return checkpoint
  const { isTrusted, ...tree } = checkpoint.value
  const { size, root } = tree
  const { index, proof } = read
  const included = await verifyInclusion({ index, size, leaf: await leafHash(entry), root, proof })
  if (!included.ok) return refused('ERR_LOG_INCLUSION', 'the proof does not lead from this summary to the root hash')
  return accepted({ ...placeIn(isTrusted, index), checkpoint: tree })
}

/**
 * What a view of the log shows of an entry; with the receipt that came along, also whether both are of one history.
 *
 * @returns null where the view does not hold the entry. @throws LogViewError when the files of the log do not show it.
 */
export async function checkLogView(
  entry: Uint8Array,
  view: LogView,
  receipt: LogEvidence | undefined,
): Promise<Outcome<LogEvidence | null, 'ERR_LOG_FORK'>> {
  const { checkpoint, isTrusted } = view
  if (receipt?.checkpoint.origin === checkpoint.origin) {
    const root = await view.rootOf(receipt.checkpoint.size)
    if (root !== undefined && !isSame(root, receipt.checkpoint.root)) {
      return refused('ERR_LOG_FORK', 'the log has two histories: its checkpoint does not continue that of the receipt')
    }
  }
  if (receipt !== undefined && receipt.status === 'proven') return accepted(receipt)
  const index = await view.indexOf(await leafHash(entry))
  return accepted(index === undefined ? (receipt ?? null) : { ...placeIn(isTrusted, index), checkpoint })
}

function placeIn(isTrusted: boolean, index: number): Pick<LogEvidence, 'status' | 'index'> {
  return isTrusted ? { status: 'proven', index } : { status: 'log-unknown', index: null }
}

function isSame(one: Uint8Array, other: Uint8Array): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at])
}

interface ReadReceipt {
  readonly index: number
  readonly checkpoint: Uint8Array
  readonly proof: readonly Uint8Array[]
}

function readReceipt(receipt: unknown): ReadReceipt | undefined {
  if (!isJsonObject(receipt)) return undefined
  const { index, checkpoint, proof } = receipt
  if (typeof index !== 'number' || typeof checkpoint !== 'string' || !Array.isArray(proof)) return undefined
  const hashes = proof.flatMap((text: unknown) => (typeof text === 'string' ? (base64Bytes(text) ?? []) : []))
  if (hashes.length !== proof.length) return undefined
  return { index, checkpoint: encoder.encode(checkpoint), proof: hashes }
}
