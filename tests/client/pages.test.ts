import { describe, expect, test } from 'vitest'
import { clientOn, failureOf } from './clients.ts'
import { answerJson, answerProblem, listen } from './loopback.ts'

interface Entry {
  readonly id: string
}

/** A server whose list has these pages; the cursor is the number of the next one. */
function pages(contents: readonly (readonly string[])[]) {
  return listen((response, { url }) => {
    const at = Number(new URL(url, 'http://x').searchParams.get('cursor') ?? 0)
    const items: readonly Entry[] = (contents[at] ?? []).map((id) => ({ id }))
    answerJson(response, { items, nextCursor: at + 1 < contents.length ? String(at + 1) : null })
  })
}

async function idsOf(list: AsyncIterable<Entry>): Promise<string[]> {
  const ids: string[] = []
  for await (const { id } of list) ids.push(id)
  return ids
}

describe('lists', () => {
  test('empty pages in the middle are followed to the end', async () => {
    const server = await pages([['a'], [], [], ['b', 'c'], []])
    await expect(idsOf(clientOn(server.baseUrl).assessments.list())).resolves.toEqual(['a', 'b', 'c'])
    expect(server.received).toHaveLength(5)
  })

  test('a page is fetched when it is needed, and not after a break', async () => {
    const server = await pages([['a', 'b'], ['c']])
    for await (const { id } of clientOn(server.baseUrl).assessments.list({ limit: 2 })) if (id === 'b') break
    expect(server.received.map(({ url }) => url)).toEqual(['/v1/assessments?limit=2'])
  })

  test('a cursor that never ends is refused aloud after the cap, not cut silently', async () => {
    const server = await listen((response, _, count) => answerJson(response, { items: [], nextCursor: `c${count}` }))
    const error = await failureOf(idsOf(clientOn(server.baseUrl).assessments.list({ maxPages: 25 })))
    expect(error).toMatchObject({ name: 'PagingError', code: 'ERR_PAGING_CAP' })
    expect(error.message).toContain('Raise maxPages')
    expect(server.received).toHaveLength(25)
  })

  test('a cursor that comes again is a circle', async () => {
    const server = await listen((response) => answerJson(response, { items: [{ id: 'a' }], nextCursor: 'same' }))
    expect(await failureOf(idsOf(clientOn(server.baseUrl).assessments.list()))).toMatchObject({
      code: 'ERR_CURSOR_REPEATED',
    })
    expect(server.received).toHaveLength(2)
  })

  // At the cap the list is complete; one entry more is refused.
  test.each([
    [3, ['a', 'b', 'c']],
    [2, 'ERR_PAGING_CAP'],
  ])('three entries under maxItems %i give %j', async (maxItems, expected) => {
    const server = await pages([['a', 'b'], ['c']])
    const outcome = await idsOf(clientOn(server.baseUrl).assessments.list({ maxItems })).catch((error) => error.code)
    expect(outcome).toEqual(expected)
  })

  test('an error on a later page is thrown after the entries before it', async () => {
    const server = await listen((response, _, count) => {
      if (count === 1) answerJson(response, { items: [{ id: 'a' }], nextCursor: '1' })
      else answerProblem(response, 403, 'ERR_FORBIDDEN')
    })
    const seen: string[] = []
    const read = async () => {
      for await (const { id } of clientOn(server.baseUrl).assessments.list()) seen.push(id)
    }
    expect(await failureOf(read())).toMatchObject({ code: 'ERR_FORBIDDEN' })
    expect(seen).toEqual(['a'])
  })
})
