import { describe, expect, test, vi } from 'vitest'
import { createBodyBudget } from '../../packages/service/src/http/body-budget.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createSlots } from '../../packages/service/src/http/slots.ts'
import { plainResult } from '../support/plain-result.ts'
import { createTestApp } from '../support/test-app.ts'

describe('places', () => {
  test('are given in the order in which they were asked for', async () => {
    const slots = createSlots(2, 2)
    const order: number[] = []
    const [first] = [await slots.enter(), await slots.enter()]
    const third = slots.enter().then((leave) => {
      order.push(3)
      return leave
    })
    const fourth = slots.enter().then((leave) => {
      order.push(4)
      return leave
    })
    expect(await slots.enter()).toBeUndefined()
    expect(order).toEqual([])
    first?.()
    ;(await third)?.()
    await fourth
    expect(order).toEqual([3, 4])
  })

  test('are free again once they were given back', async () => {
    const slots = createSlots(1, 0)
    const leave = await slots.enter()
    expect(await slots.enter()).toBeUndefined()
    leave?.()
    expect(await slots.enter()).toBeDefined()
  })
})

describe('room for bodies', () => {
  test('is counted over all bodies, and given back as a whole, once', () => {
    const budget = createBodyBudget(100)
    const one = budget.open()
    const other = budget.open()
    expect([one.take(60), other.take(41), other.take(40), one.take(1)]).toEqual([true, false, true, false])
    one.release()
    one.release()
    expect([other.take(60), other.take(1)]).toEqual([true, false])
  })
})

test('no more than 8 comparisons are worked on at once, and all are answered', async () => {
  const waiting: (() => void)[] = []
  const atOnce = { now: 0, most: 0 }
  const app = await createTestApp({
    assess: async (comparison) => {
      atOnce.now += 1
      atOnce.most = Math.max(atOnce.most, atOnce.now)
      await new Promise<void>((resolve) => waiting.push(resolve))
      atOnce.now -= 1
      return plainResult(comparison)
    },
  })
  const answers = Array.from({ length: 20 }, () =>
    app.request('/v1/assessments', {
      method: 'POST',
      headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
      body: JSON.stringify(comparisonExamples.publishedFigures),
    }),
  )
  const done = Promise.all(answers)
  await vi.waitFor(() => expect(waiting).toHaveLength(8))
  const release = setInterval(() => waiting.shift()?.(), 1)
  expect((await done).map(({ status }) => status)).toEqual(Array.from({ length: 20 }, () => 201))
  clearInterval(release)
  expect(atOnce.most).toBe(8)
})
