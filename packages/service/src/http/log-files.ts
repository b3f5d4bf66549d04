/** `/log/…`: the log as C2SP tlog-tiles asks for it. */
import { readTilePath } from '@fairpull/sdk/verify'
import { type Answer, caching, textBytes } from './answer.ts'
import { operation } from './operation.ts'
import { textLike } from './parameter.ts'
import { nothingHere } from './problem.ts'

/** A checkpoint is the newest for a moment only. */
const CHECKPOINT_CACHING = 'public, max-age=5'

/** GET /log/checkpoint: the head of the log. */
export const getLogCheckpoint = operation({
  id: 'getLogCheckpoint',
  method: 'get',
  address: '/log/checkpoint',
  tag: 'Verification',
  summary: 'Read the checkpoint of the log',
  description:
    'Size and root hash of the log as a signed note (C2SP tlog-checkpoint). Every checkpoint this service ever signs is the ' +
    'beginning of every later one; keep those you see, and anybody can show you whether that holds.',
  scope: null,
  path: {},
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The signed checkpoint.', schema: 'Text', mediaType: 'text/plain; charset=utf-8' } },
  refusals: ['ERR_LOG_STOPPED', 'ERR_STORE_UNAVAILABLE'],
  handle: async (_request, { useCases }) => ({
    status: 200,
    headers: { 'content-type': 'text/plain; charset=utf-8', 'cache-control': CHECKPOINT_CACHING },
    body: textBytes(await useCases.log.checkpoint()),
  }),
})

/** GET /log/tile/{tile}: hashes of the tree, or a bundle of entries. */
export const getLogTile = operation({
  id: 'getLogTile',
  method: 'get',
  address: '/log/tile/{tile}',
  tag: 'Verification',
  summary: 'Read a tile of the log',
  description:
    'Up to 256 hashes of the tree, or a bundle of up to 256 entries, as C2SP tlog-tiles lays them out: `0/x001/234`, ' +
    '`entries/000.p/12`. What a tile says never changes, so it can be kept for good. Entries are digests; nothing private ' +
    'is in them.',
  scope: null,
  path: { tile: textLike('Level, number and width of the tile.', /^[0-9a-z./]{1,80}$/, 'the path of a tile') },
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The bytes of the tile.', schema: 'Bytes', mediaType: 'application/octet-stream' } },
  refusals: ['ERR_NOT_FOUND', 'ERR_LOG_STOPPED', 'ERR_STORE_UNAVAILABLE'],
  handle: async ({ path }, { useCases }) => {
    const tile = readTilePath(`tile/${path.tile}`)
    const bytes = tile === undefined ? undefined : await useCases.log.tile(tile)
    if (tile === undefined || bytes === undefined) return nothingHere()
    return tileAnswer(bytes)
  },
})

function tileAnswer(bytes: Uint8Array): Answer {
  const headers = { 'content-type': 'application/octet-stream', 'cache-control': caching.forGood }
  return { status: 200, headers, body: new Uint8Array(bytes) }
}
