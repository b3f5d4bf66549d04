import { describe, expect, test } from 'vitest'
import { readTilePath, tilePath, tilesOf } from '../../packages/sdk/src/integrity/tile.ts'

describe('C2SP tlog-tiles, the examples of its text', () => {
  test('index 1234067 is written x001/x234/067', () => {
    expect(tilePath({ level: 0, index: 1234067, width: 256 })).toBe('tile/0/x001/x234/067')
    expect(readTilePath('tile/0/x001/x234/067')).toEqual({ level: 0, index: 1234067, width: 256 })
  })

  test('70,000 leaves: 273 full and one of 112 at level 0, one full and one of 17 at level 1, one of 1 at level 2', () => {
    const tiles = tilesOf(70_000)
    const widths = (level: number) => tiles.filter((tile) => tile.level === level).map(({ width }) => width)
    expect(widths(0)).toEqual([...new Array(273).fill(256), 112])
    expect(widths(1)).toEqual([256, 17])
    expect(widths(2)).toEqual([1])
    expect(tiles).toHaveLength(277)
  })

  test('256 leaves: one full tile at level 0, one of 1 at level 1', () => {
    expect(tilesOf(256)).toEqual([
      { level: 0, index: 0, width: 256 },
      { level: 1, index: 0, width: 1 },
    ])
  })
})
