/**
 * Checkpoints of the log (C2SP tlog-checkpoint): the text of a signed note that says how large the tree is and what its
 * root hash is.
 *
 *     origin
 *     tree size, decimal
 *     root hash, base64
 */
import { base64Bytes, base64Text } from '../contract/channel-values.ts'
import type { SigningKey } from './ed25519-key.ts'
import type { TreeHash } from './merkle-tree.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { type NoteCode, type NoteVerifier, parseNote, signNote, verifyNote } from './signed-note.ts'

/** Why a checkpoint was refused. */
export type CheckpointCode = NoteCode | 'ERR_CHECKPOINT_FORM' | 'ERR_CHECKPOINT_ORIGIN' | 'ERR_CHECKPOINT_NOT_BY_LOG'

/** The head of the log's tree at one size. */
export interface Checkpoint {
  /** Identity of the log. */
  readonly origin: string
  /** Leaves in the tree. */
  readonly size: number
  /** Root hash of the tree. */
  readonly root: TreeHash
}

/** The note text of a checkpoint, without extension lines. Pure. */
export function checkpointText({ origin, size, root }: Checkpoint): string {
  return `${origin}\n${size}\n${base64Text(root)}\n`
}

/** Reads the note text of a checkpoint; extension lines are passed over. Taken as hostile; pure, never throws. */
export function readCheckpointText(text: string): Outcome<Checkpoint, CheckpointCode> {
  const [origin = '', size = '', root = '', ...extensions] = text.split('\n').slice(0, -1)
  const count = /^(?:0|[1-9]\d{0,15})$/.test(size) ? Number(size) : Number.NaN
  const bytes = base64Bytes(root)
  const isWhole = text.endsWith('\n') && origin !== '' && !extensions.includes('')
  if (!isWhole || !Number.isSafeInteger(count) || bytes?.length !== 32) {
    return refused('ERR_CHECKPOINT_FORM', 'a checkpoint is an origin, a decimal size and a root hash of 32 bytes')
  }
  return accepted({ origin, size: count, root: bytes })
}

/** The signed checkpoint; the key is named like the origin. */
export async function signCheckpoint(checkpoint: Checkpoint, key: SigningKey): Promise<string> {
  return signNote(checkpointText(checkpoint), checkpoint.origin, key)
}

/**
 * Verifies a signed checkpoint of one log.
 *
 * 1. It is a signed note, and no known key's signature is wrong. 2. The log's own key is among the signers.
 * 3. The text is a checkpoint. 4. Its origin is that of the log, so a checkpoint of another log cannot stand in.
 *
 * @param log key of the log, named like its origin
 * @param witnesses further keys the reader knows; their signatures are checked, not required
 */
export async function verifyCheckpoint(
  bytes: Uint8Array,
  log: NoteVerifier,
  witnesses: readonly NoteVerifier[] = [],
): Promise<Outcome<Checkpoint, CheckpointCode>> {
  const note = await verifyNote(bytes, [log, ...witnesses])
  if (!note.ok) return note
  if (!note.value.signers.includes(log)) {
    return refused('ERR_CHECKPOINT_NOT_BY_LOG', 'the log itself did not sign this checkpoint')
  }
  const checkpoint = readCheckpointText(note.value.text)
  if (!checkpoint.ok) return checkpoint
  const isOfLog = checkpoint.value.origin === log.name
  return isOfLog ? checkpoint : refused('ERR_CHECKPOINT_ORIGIN', 'this is a checkpoint of another log')
}

/**
 * A signed checkpoint of whatever log, under the keys of the logs that the reader trusts.
 *
 * Where one of them has the origin of the checkpoint, it must have signed it; where none has, the checkpoint is read, and
 * `isTrusted` is false. Taken as hostile; never throws.
 */
export async function readSignedCheckpoint(
  bytes: Uint8Array,
  logs: readonly NoteVerifier[],
): Promise<Outcome<Checkpoint & { readonly isTrusted: boolean }, 'ERR_LOG_CHECKPOINT'>> {
  const note = parseNote(bytes)
  const claimed = note.ok ? readCheckpointText(note.value.text) : note
  if (!claimed.ok) return refused('ERR_LOG_CHECKPOINT', claimed.problem.detail)
  const ofOrigin = logs.filter(({ name }) => name === claimed.value.origin)
  if (ofOrigin.length === 0) return accepted({ ...claimed.value, isTrusted: false })
  for (const log of ofOrigin) {
    const verified = await verifyCheckpoint(bytes, log)
    if (verified.ok) return accepted({ ...verified.value, isTrusted: true })
  }
  return refused('ERR_LOG_CHECKPOINT', 'the log did not sign this checkpoint')
}
