/** A log audited from nothing, over HTTP: what a monitor does. */
import {
  type Checkpoint,
  entriesOfBundle,
  hashesOfTile,
  leafHash,
  type NoteVerifier,
  nodeHash,
  subtreesFromTiles,
  subtreesOf,
  TILE_WIDTH,
  type TreeHash,
  tilePath,
  tilesOf,
  treeRoot,
  verifyCheckpoint,
} from '../integrity/index.ts'

/** Why a log failed its audit. */
export type AuditCode =
  | 'ERR_AUDIT_FETCH'
  | 'ERR_AUDIT_CHECKPOINT'
  | 'ERR_AUDIT_BUNDLE'
  | 'ERR_AUDIT_TILE'
  | 'ERR_AUDIT_ROOT'
  | 'ERR_AUDIT_SMALLER'
  | 'ERR_AUDIT_FORK'

/** What an audit works with. */
export interface AuditOptions {
  /** Address of the log, such as `https://fairpull.example/log`, without a slash at its end. */
  readonly logUrl: string
  /** Key of the log, known from the trust list. */
  readonly log: NoteVerifier
  /** The largest checkpoint seen before; the log must continue it. */
  readonly seen?: Pick<Checkpoint, 'size' | 'root'>
  /** Default: the one of the platform. */
  readonly fetch?: typeof globalThis.fetch
  /** Ends the audit. */
  readonly signal?: AbortSignal
  /** Told of every entry in order, for instance to look for withdrawals. */
  readonly onEntry?: (entry: Uint8Array, index: number) => void
}

/** What the audit found. */
export type LogAudit =
  /** Every entry leads to the signed root hash, so do the tiles, and what was seen before is the beginning of it. */
  | { readonly ok: true; readonly checkpoint: Checkpoint }
  | { readonly ok: false; readonly code: AuditCode; readonly detail: string }

/**
 * Audits a whole log.
 *
 * 1. The checkpoint is signed by the log. 2. It is not smaller than the one seen before. 3. All bundles of entries are fetched
 * and hashed; their root hash is the signed one. 4. All tiles lead to it as well. 5. The beginning of the tree is the one seen.
 *
 * Memory: 32 bytes for each entry. Nothing but addresses below `logUrl` is asked for.
 *
 * @returns a finding; a log that cannot be reached is one as well. Only an abort is thrown.
 */
export async function auditLog(options: AuditOptions): Promise<LogAudit> {
  const text = await bytesAt('checkpoint', options)
  if (text === undefined) return failed('ERR_AUDIT_FETCH', 'the checkpoint cannot be fetched')
  const read = await verifyCheckpoint(text, options.log)
  if (!read.ok) return failed('ERR_AUDIT_CHECKPOINT', read.problem.detail)
  const checkpoint = read.value
  const { seen } = options
  if (seen !== undefined && seen.size > checkpoint.size) {
    return failed('ERR_AUDIT_SMALLER', `a tree of ${seen.size} entries was seen, and now one of ${checkpoint.size}`)
  }
  const leaves = await leavesOf(checkpoint.size, options)
  if (!Array.isArray(leaves)) return leaves
  const subtrees = await subtreesOf(leaves)
  if (!isSame(await treeRoot(subtrees, checkpoint.size), checkpoint.root)) {
    return failed('ERR_AUDIT_ROOT', 'the entries do not lead to the signed root hash')
  }
  if (seen !== undefined && !isSame(await treeRoot(subtrees, seen.size), seen.root)) {
    return failed('ERR_AUDIT_FORK', `the tree does not begin with the one of ${seen.size} entries that was seen`)
  }
  return (await faultOfTiles(checkpoint, options)) ?? { ok: true, checkpoint }
}

async function leavesOf(size: number, options: AuditOptions): Promise<TreeHash[] | Extract<LogAudit, { ok: false }>> {
  const leaves: TreeHash[] = []
  for (let index = 0; index * TILE_WIDTH < size; index += 1) {
    const width = Math.min(TILE_WIDTH, size - index * TILE_WIDTH)
    const path = tilePath({ level: 'entries', index, width })
    const bytes = await bytesAt(path, options)
    if (bytes === undefined) return failed('ERR_AUDIT_FETCH', `${path} cannot be fetched`)
    const entries = entriesOfBundle(bytes)
    if (entries?.length !== width) return failed('ERR_AUDIT_BUNDLE', `${path} does not hold ${width} entries`)
    for (const entry of entries) {
      options.onEntry?.(entry, leaves.length)
      leaves.push(await leafHash(entry))
    }
  }
  return leaves
}

async function faultOfTiles({ size, root }: Checkpoint, options: AuditOptions): Promise<LogAudit | undefined> {
  const tiles = new Map<string, readonly TreeHash[]>()
  for (const tile of tilesOf(size)) {
    const path = tilePath(tile)
    const bytes = await bytesAt(path, options)
    if (bytes === undefined) return failed('ERR_AUDIT_FETCH', `${path} cannot be fetched`)
    const hashes = hashesOfTile(bytes)
    if (hashes?.length !== tile.width) return failed('ERR_AUDIT_TILE', `${path} does not hold ${tile.width} hashes`)
    tiles.set(`${tile.level}/${tile.index}`, hashes)
  }
  const read = subtreesFromTiles((level, index) => tiles.get(`${level}/${index}`) ?? [])
  for (const { level, index, width } of tilesOf(size)) {
    if (typeof level !== 'number' || level === 0) continue
    for (let at = 0; at < width; at += 1) {
      const number = 2 * (index * TILE_WIDTH + at)
      const below = await nodeHash(await read(8 * level - 1, number), await read(8 * level - 1, number + 1))
      if (!isSame(below, tiles.get(`${level}/${index}`)?.[at] ?? new Uint8Array())) {
        return failed('ERR_AUDIT_TILE', `hash ${at} of tile ${level}/${index} is not that of the tile below`)
      }
    }
  }
  const isRoot = isSame(await treeRoot(read, size), root)
  return isRoot ? undefined : failed('ERR_AUDIT_TILE', 'the tiles do not lead to the signed root hash')
}

async function bytesAt(path: string, options: AuditOptions): Promise<Uint8Array | undefined> {
  const { logUrl, signal, fetch = globalThis.fetch } = options
  try {
    const response = await fetch(`${logUrl}/${path}`, signal === undefined ? {} : { signal })
    return response.ok ? new Uint8Array(await response.arrayBuffer()) : undefined
  } catch (cause) {
    if (signal?.aborted === true) throw cause
    return undefined
  }
}

function failed(code: AuditCode, detail: string): Extract<LogAudit, { ok: false }> {
  return { ok: false, code, detail }
}

function isSame(one: TreeHash, other: TreeHash): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at])
}
