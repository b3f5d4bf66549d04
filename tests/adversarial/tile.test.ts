import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import {
  inclusionProof,
  leafHash,
  subtreesOf,
  type TreeHash,
  treeRoot,
} from '../../packages/sdk/src/integrity/merkle-tree.ts'
import { placeOf, readTilePath, TILE_WIDTH, tilePath, tilesOf } from '../../packages/sdk/src/integrity/tile.ts'
import { fromText, toHex } from './support/bytes.ts'

const hash = (bytes: Uint8Array): TreeHash => createHash('sha256').update(bytes).digest()

describe('the path of a tile', () => {
  const paths = [
    'tile/0/000',
    'tile/0/255.p/1',
    'tile/0/999.p/255',
    'tile/1/x001/000',
    'tile/63/000',
    'tile/entries/x999/999',
    'tile/entries/x001/x234/067.p/12',
  ]
  for (const path of paths) {
    test(`${path} is read and written alike`, () => {
      const tile = readTilePath(path)
      expect(tile && tilePath(tile)).toBe(path)
    })
  }

  const none = [
    '',
    'tile',
    'tile/0',
    'tile/0/0',
    'tile/0/00',
    'tile/00/000',
    'tile/64/000',
    'tile/-1/000',
    'tile/0/x000/000',
    'tile/0/x001',
    'tile/0/001/000',
    'tile/0/000.p/0',
    'tile/0/000.p/01',
    'tile/0/000.p/256',
    'tile/0/000.p/',
    '/tile/0/000',
    'tile/0/000/',
    'tile/0/000\n',
    'tile/0/../0/000',
    'tile/data/000',
    'tile/0/x999/x999/x999/x999/x999/999',
  ]
  for (const path of none) {
    test(`'${path}' names no tile`, () => expect(readTilePath(path)).toBeUndefined())
  }
})

describe('the tiles of a growing tree', () => {
  test('are, step by step, the tiles of the whole', () => {
    const written = new Map<string, number>()
    for (const [from, size] of [
      [0, 1],
      [1, 255],
      [255, 256],
      [256, 257],
      [257, 600],
      [600, 600],
      [600, 70_000],
    ] as const) {
      for (const { level, index, width } of tilesOf(size, from)) written.set(`${level}/${index}`, width)
      const whole = new Map(tilesOf(size).map(({ level, index, width }) => [`${level}/${index}`, width]))
      expect(written).toEqual(whole)
    }
  })

  test('have no empty tile', () => {
    expect(tilesOf(0)).toEqual([])
    for (const { width } of tilesOf(65_536)) expect(width).toBeGreaterThan(0)
  })
})

test('root and proofs of 70,000 leaves come out of the tiles alone', async () => {
  const size = 70_000
  const leaves = await Promise.all(Array.from({ length: size }, (_, at) => leafHash(fromText(String(at)), hash)))
  const tree = await subtreesOf(leaves, hash)
  const tiles = new Map<string, readonly TreeHash[]>()
  for (const { level, index, width } of tilesOf(size)) {
    const hashes = Array.from({ length: width }, (_, at) => tree(Number(level) * 8, index * TILE_WIDTH + at))
    tiles.set(`${level}/${index}`, await Promise.all(hashes))
  }
  const fromTiles = async (level: number, index: number): Promise<TreeHash> => {
    const { level: tileLevel, index: tileIndex, first, count } = placeOf(level, index)
    const inside = (tiles.get(`${tileLevel}/${tileIndex}`) ?? []).slice(first, first + count)
    expect(inside).toHaveLength(count)
    return treeRoot(await subtreesOf(inside, hash), count, hash)
  }
  expect(toHex(await treeRoot(fromTiles, size, hash))).toBe(toHex(await treeRoot(tree, size, hash)))
  for (const index of [0, 255, 256, 65_535, 65_536, 69_887, 69_888, 69_999]) {
    const [one, other] = await Promise.all([tree, fromTiles].map((read) => inclusionProof(read, { index, size }, hash)))
    expect(one?.map(toHex)).toEqual(other?.map(toHex))
  }
})
