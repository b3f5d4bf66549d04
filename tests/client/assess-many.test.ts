import { describe, expect, test } from 'vitest'
import type { ManyOutcome, ManyProgress } from '../../packages/sdk/src/client/index.ts'
import type { Comparison } from '../../packages/sdk/src/contract/index.ts'
import { plainResult } from '../support/plain-result.ts'
import { clientOn, failureOf } from './clients.ts'
import { connected } from './connected.ts'
import { answerJson, listen } from './loopback.ts'

function comparison(kW: number): Comparison {
  const reported = { peakPower: { value: kW, unit: 'kW' } } as const
  return { protocol: 'motorcycle-rollers@1', runs: [{ id: 'b1', side: 'baseline', purpose: 'measured', reported }] }
}

function series(count: number): readonly Comparison[] {
  return Array.from({ length: count }, (_, index) => comparison(50 + index))
}

async function all(outcomes: AsyncIterable<ManyOutcome>): Promise<readonly ManyOutcome[]> {
  const list: ManyOutcome[] = []
  for await (const outcome of outcomes) list.push(outcome)
  return list
}

const idOf = (outcome: ManyOutcome | undefined) => (outcome?.ok === true ? outcome.value.id : undefined)

describe('many comparisons', () => {
  test('come back verified and in their order, a few to a request', async () => {
    const { fairpull, sent } = await connected()
    const outcomes = await all(fairpull.assessMany(series(40)))
    expect(outcomes.map(({ index, ok }) => [index, ok])).toEqual(series(40).map((_, index) => [index, true]))
    expect(outcomes.every((each) => each.ok && each.value.report.verdict === 'verified')).toBe(true)
    expect(sent.map(({ url }) => url)).toEqual(Array(3).fill('http://service.test/v1/batches'))
  })

  test('that are refused are outcomes, and hold up no other', async () => {
    const { fairpull } = await connected()
    const wrong = { ...comparison(60), reportIn: 'un-r58' } as unknown as Comparison
    const outcomes = await all(fairpull.assessMany([comparison(50), wrong, comparison(Number.NaN), comparison(70)]))
    expect(outcomes.map((each) => (each.ok ? 'assessed' : each.error.name))).toEqual([
      'assessed',
      'ApiError',
      'BodyError',
      'assessed',
    ])
    const [, refused] = outcomes
    expect(refused).toMatchObject({ error: { status: 422, errors: [{ pointer: '/comparison/reportIn' }] } })
  })

  test('tell how far they have come', async () => {
    const { fairpull } = await connected()
    const told: ManyProgress[] = []
    const source = [comparison(50), comparison(Number.NaN), comparison(50)]
    await all(fairpull.assessMany(source, { perRequest: 1, onProgress: (progress) => told.push(progress) }))
    expect(told).toEqual([
      { done: 1, assessed: 1, replayed: 0, refused: 0 },
      { done: 2, assessed: 1, replayed: 0, refused: 1 },
      { done: 3, assessed: 2, replayed: 1, refused: 1 },
    ])
  })

  test('none is an answer, too', async () => {
    const { fairpull, sent } = await connected()
    expect(await all(fairpull.assessMany([]))).toEqual([])
    expect(sent).toEqual([])
  })

  test('each may have a key of its own; one that cannot be sent is an outcome', async () => {
    const { fairpull, app } = await connected()
    const outcomes = await all(
      fairpull.assessMany([
        { key: 'session-7.json', comparison: comparison(50) },
        { key: 'two words', comparison: comparison(51) },
      ]),
    )
    expect(outcomes.map(({ key, ok }) => [key, ok])).toEqual([
      ['session-7.json', true],
      ['two words', false],
    ])
    expect(app.store.issued.map(({ idempotency }) => idempotency?.key)).toEqual(['session-7.json'])
  })
})

describe('a source that is longer than memory', () => {
  test('is read as outcomes are taken, never more than the requests under way ahead', async () => {
    const { fairpull } = await connected()
    const state = { taken: 0, isClosed: false }
    const endless = (function* () {
      try {
        for (;;) yield comparison(50 + state.taken++)
      } finally {
        state.isClosed = true
      }
    })()
    const ahead: number[] = []
    for await (const { index } of fairpull.assessMany(endless, { perRequest: 4, requests: 2 })) {
      ahead.push(state.taken - index)
      if (index === 50) break
    }
    expect(Math.max(...ahead)).toBeLessThanOrEqual(3 * 4)
    expect(state.isClosed).toBe(true)
  })

  test('that fails says so after the outcomes before it', async () => {
    const { fairpull } = await connected()
    async function* broken() {
      yield comparison(50)
      throw new RangeError('the disk is gone')
    }
    const outcomes = fairpull.assessMany(broken(), { perRequest: 1, requests: 1 })
    expect((await outcomes.next()).value).toMatchObject({ ok: true })
    expect(await failureOf(outcomes.next())).toBeInstanceOf(RangeError)
  })
})

describe('what breaks off', () => {
  test('goes on where it ended when it is run again over the same source', async () => {
    const { fairpull, app } = await connected()
    const first: ManyOutcome[] = []
    for await (const outcome of fairpull.assessMany(series(20), { perRequest: 3, requests: 1 })) {
      first.push(outcome)
      if (first.length === 7) break
    }
    const again = await all(fairpull.assessMany(series(20)))
    expect(app.store.issued).toHaveLength(20)
    expect(again.slice(0, 7).map(idOf)).toEqual(first.map(idOf))
    // Seven were taken: three requests of three lines had gone out.
    expect(again.map((each) => each.ok && each.replayed)).toEqual(series(20).map((_, index) => index < 9))
  })

  test('a lost answer is asked for again and has no second effect', async () => {
    const { fairpull, app } = await connected({ lostAnswers: 1, retries: 2 })
    const outcomes = await all(fairpull.assessMany(series(5)))
    expect(outcomes.every((each) => each.ok && each.replayed)).toBe(true)
    expect(app.store.issued).toHaveLength(5)
  })

  test('a line the service has no time for is sent again, alone', async () => {
    const state = { failures: 1 }
    const { fairpull, sent } = await connected({
      retries: 2,
      assess: async (given) => {
        if (given.runs[0]?.reported?.peakPower?.value === 51 && state.failures-- > 0) throw new Error('out of memory')
        return plainResult(given)
      },
    })
    const outcomes = await all(fairpull.assessMany(series(3)))
    expect(outcomes.map(({ ok }) => ok)).toEqual([true, true, true])
    const bodies = await Promise.all(sent.map((request) => request.text()))
    expect(bodies.map((body) => body.trimEnd().split('\n').length)).toEqual([3, 1])
  })

  test('a line that fails every time is an outcome when the attempts are used', async () => {
    const { fairpull, sent } = await connected({ retries: 2, assess: () => Promise.reject(new Error('a defect')) })
    const outcomes = await all(fairpull.assessMany(series(2)))
    expect(outcomes).toMatchObject([{ error: { code: 'ERR_INTERNAL' } }, { error: { code: 'ERR_INTERNAL' } }])
    expect(sent).toHaveLength(3)
  })

  test('an answer whose end is missing is refused aloud: no line is taken for answered', async () => {
    const server = await listen((response, request) => {
      if (request.method === 'GET') return answerJson(response, { keys: [] })
      response.writeHead(200, { 'content-type': 'application/x-ndjson' })
      response.end('{"line":1,"key":"a","status":201,"replayed":false,"assessment":{}}\n')
    })
    const outcomes = clientOn(server.baseUrl, { retries: 0 }).assessMany([{ key: 'a', comparison: comparison(50) }])
    expect(await failureOf(outcomes.next())).toMatchObject({ name: 'UnexpectedAnswerError' })
  })

  test('an abort ends it at once', async () => {
    const { fairpull } = await connected()
    const controller = new AbortController()
    const outcomes = fairpull.assessMany(series(9), { perRequest: 1, requests: 1, signal: controller.signal })
    await outcomes.next()
    controller.abort()
    expect(await failureOf(outcomes.next())).toMatchObject({ code: 'ERR_ABORTED' })
  })

  test('options that cannot be meant are refused by name', async () => {
    const { fairpull } = await connected()
    for (const option of ['perRequest', 'textPerRequest', 'requests']) {
      expect(await failureOf(fairpull.assessMany(series(1), { [option]: 0 }).next())).toMatchObject({ option })
    }
  })
})
