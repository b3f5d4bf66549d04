/**
 * Tiles of the log (C2SP tlog-tiles): where the hashes of the tree stand in files of 256 hashes.
 *
 * The tile n at level l holds the hashes of the complete subtrees of 256^l leaves from number 256 n on.
 */

/** Hashes in a full tile. */
export const TILE_WIDTH = 256

/** Levels of the tree between two levels of tiles. */
const TILE_HEIGHT = 8
const HIGHEST_LEVEL = 63

/** Which tile. */
export interface Tile {
  /** Level of tiles; `entries` for a bundle of entries. */
  readonly level: number | 'entries'
  /** Number in its level, from 0. */
  readonly index: number
  /** Hashes (or entries) in it: 256, or fewer in the last one. */
  readonly width: number
}

/** Where the hash of a subtree stands. */
export interface TilePlace {
  /** Level of tiles. */
  readonly level: number
  /** Number of the tile in its level. */
  readonly index: number
  /** First of the hashes in the tile that the subtree spans. */
  readonly first: number
  /** How many hashes it spans: 1, or up to 128 that must be hashed together. */
  readonly count: number
}

/** Path of a tile below the prefix of the log: `tile/0/x001/x234/067`, `tile/entries/000.p/12`. Pure. */
export function tilePath({ level, index, width }: Tile): string {
  const suffix = width === TILE_WIDTH ? '' : `.p/${width}`
  return `tile/${level}/${indexPath(index)}${suffix}`
}

/** The tile a path names, or undefined when it names none; every tile has one path. Taken as hostile; pure. */
export function readTilePath(path: string): Tile | undefined {
  const [, level = '', elements = '', width = String(TILE_WIDTH)] =
    /^tile\/(entries|0|[1-9]\d?)\/((?:x\d{3}\/)*\d{3})(?:\.p\/([1-9]\d{0,2}))?$/.exec(path) ?? []
  const tile: Tile = {
    level: level === 'entries' ? level : Number(level),
    index: Number(elements.replaceAll(/[x/]/g, '')),
    width: Number(width),
  }
  const isTile = tile.level === 'entries' || tile.level <= HIGHEST_LEVEL
  return isTile && Number.isSafeInteger(tile.index) && tilePath(tile) === path ? tile : undefined
}

/**
 * Every tile of hashes of a tree, full ones first in each level.
 *
 * @param size [leaves], whole, from 0
 * @param from only tiles that a tree of this many leaves did not have in this width
 */
export function tilesOf(size: number, from = 0): readonly Tile[] {
  const tiles: Tile[] = []
  for (let level = 0; ; level += 1) {
    const hashes = Math.floor(size / TILE_WIDTH ** level)
    if (hashes === 0) return tiles
    const before = Math.floor(from / TILE_WIDTH ** level)
    if (hashes === before) continue
    for (let index = Math.floor(before / TILE_WIDTH); index * TILE_WIDTH < hashes; index += 1) {
      tiles.push({ level, index, width: Math.min(TILE_WIDTH, hashes - index * TILE_WIDTH) })
    }
  }
}

/** Where the hash of the complete subtree of 2^level leaves, number `index` of its kind, stands. Pure. */
export function placeOf(level: number, index: number): TilePlace {
  const inside = level % TILE_HEIGHT
  const count = 2 ** inside
  const first = index * count
  return {
    level: (level - inside) / TILE_HEIGHT,
    index: Math.floor(first / TILE_WIDTH),
    first: first % TILE_WIDTH,
    count,
  }
}

function indexPath(index: number): string {
  const digits = String(index)
  const padded = digits.padStart(Math.ceil(digits.length / 3) * 3, '0')
  const elements = padded.match(/\d{3}/g) ?? []
  return elements.map((element, at) => (at < elements.length - 1 ? `x${element}` : element)).join('/')
}
