import { expect, test } from 'vitest'
import { createRecentReads } from '../../packages/service/src/usecases/recent-reads.ts'

function counting(limits = { age_ms: 1000, most: 2 }) {
  const seen = { now_ms: 0, loads: [] as string[], isBroken: false }
  const reads = createRecentReads(
    async (key) => {
      seen.loads.push(key)
      if (seen.isBroken) throw new Error('away')
      return `${key} ${seen.loads.length}`
    },
    { now: () => new Date(seen.now_ms) },
    limits,
  )
  return { seen, reads }
}

test('many readers cost one read, until it is too old or forgotten', async () => {
  const { seen, reads } = counting()
  expect(await Promise.all([reads.read('a'), reads.read('a')])).toEqual(['a 1', 'a 1'])
  seen.now_ms = 999
  expect(await reads.read('a')).toBe('a 1')
  seen.now_ms = 1000
  expect(await reads.read('a')).toBe('a 2')
  reads.forget('a')
  expect(await reads.read('a')).toBe('a 3')
})

test('a clock that is set back does not keep what was read for longer', async () => {
  const { seen, reads } = counting()
  seen.now_ms = 5000
  await reads.read('a')
  seen.now_ms = 0
  expect(await reads.read('a')).toBe('a 2')
})

test('what was read least recently goes first', async () => {
  const { seen, reads } = counting()
  for (const key of ['a', 'b', 'a', 'c', 'a', 'b']) await reads.read(key)
  expect(seen.loads).toEqual(['a', 'b', 'c', 'b'])
})

test('a failure is not kept', async () => {
  const { seen, reads } = counting()
  seen.isBroken = true
  await expect(reads.read('a')).rejects.toThrow('away')
  seen.isBroken = false
  expect(await reads.read('a')).toBe('a 2')
})
