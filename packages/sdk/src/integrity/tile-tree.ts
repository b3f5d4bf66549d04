/** The tree read from its tiles: of a database, or of files that a monitor fetched. */
import { type HashFunction, type SubtreeReader, subtreesOf, type TreeHash } from './merkle-tree.ts'
import { sha256 } from './sha256.ts'
import { placeOf } from './tile.ts'

/** The hashes of one tile: at least the first `width` of them. */
export type TileReader = (
  level: number,
  index: number,
  width: number,
) => readonly TreeHash[] | Promise<readonly TreeHash[]>

/**
 * Hashes of complete subtrees, read from tiles: one hash of a tile, or up to 128 of them hashed together.
 *
 * @throws RangeError when the tile that is read lacks hashes of the subtree.
 */
export function subtreesFromTiles(read: TileReader, hash: HashFunction = sha256): SubtreeReader {
  return async (level, index) => {
    const place = placeOf(level, index)
    const end = place.first + place.count
    const hashes = (await read(place.level, place.index, end)).slice(place.first, end)
    if (hashes.length < place.count) throw new RangeError(`tile ${place.index} at level ${place.level} is too narrow`)
    const [only] = hashes
    if (place.count === 1 && only !== undefined) return only
    const subtree = await subtreesOf(hashes, hash)
    return subtree(Math.log2(place.count), 0)
  }
}

/** The hashes in the bytes of a tile; undefined when they are not whole hashes. Pure. */
export function hashesOfTile(bytes: Uint8Array): readonly TreeHash[] | undefined {
  if (bytes.length % 32 !== 0) return undefined
  return Array.from({ length: bytes.length / 32 }, (_, at) => bytes.slice(at * 32, at * 32 + 32))
}

/** A bundle of entries: each after its length as unsigned 16-bit big-endian (C2SP tlog-tiles). Pure. */
export function entryBundle(entries: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(entries.reduce((length, entry) => length + 2 + entry.length, 0))
  let at = 0
  for (const entry of entries) {
    bytes.set([entry.length >> 8, entry.length & 0xff], at)
    bytes.set(entry, at + 2)
    at += 2 + entry.length
  }
  return bytes
}

/** The entries of a bundle; undefined when an entry is cut. Taken as hostile; pure, never throws. */
export function entriesOfBundle(bytes: Uint8Array): readonly Uint8Array[] | undefined {
  const entries: Uint8Array[] = []
  for (let at = 0; at < bytes.length; ) {
    const length = (bytes[at] ?? 0) * 256 + (bytes[at + 1] ?? 0)
    const entry = bytes.slice(at + 2, at + 2 + length)
    if (at + 2 > bytes.length || entry.length < length) return undefined
    entries.push(entry)
    at += 2 + length
  }
  return entries
}
