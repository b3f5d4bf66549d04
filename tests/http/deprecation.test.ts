import { expect, test } from 'vitest'
import { createBodyBudget } from '../../packages/service/src/http/body-budget.ts'
import { openApiDocument } from '../../packages/service/src/http/openapi.ts'
import type { Operation, ServiceFace } from '../../packages/service/src/http/operation.ts'
import { operations } from '../../packages/service/src/http/operations.ts'
import { createRateLimit } from '../../packages/service/src/http/rate-limit.ts'
import { createRouter } from '../../packages/service/src/http/router.ts'
import { createSlots } from '../../packages/service/src/http/slots.ts'
import type { ApiKeys } from '../../packages/service/src/ports.ts'

const live = operations.find(({ address }) => address === '/livez') as Operation
const leaving: Operation = {
  ...live,
  deprecation: { since: '2027-01-01', until: '2028-06-30', successor: '/v2/livez' },
}

function routerOf(operation: Operation) {
  return createRouter({
    operations: [operation],
    log: { write: () => undefined },
    freshId: () => '01890000-0000-7000-8000-0000000000ff',
    gate: {
      service: { isDraining: () => false } as ServiceFace,
      apiKeys: {} as ApiKeys,
      bodyLimit: 1000,
      budget: createBodyBudget(1000),
      slots: createSlots(1, 1),
      rateLimit: createRateLimit(0),
    },
  })
}

test('an operation on its way out says since when, until when and what takes its place', async () => {
  const { headers } = await routerOf(leaving).request('/livez')
  // 2027-01-01T00:00:00Z is 1,798,761,600 s after 1970.
  expect(headers.get('deprecation')).toBe('@1798761600')
  expect(headers.get('sunset')).toBe('Fri, 30 Jun 2028 00:00:00 GMT')
  expect(headers.get('link')).toBe('</v2/livez>; rel="successor-version"')
  const { paths } = openApiDocument({ operations: [leaving], contract: {} })
  expect(paths?.['/livez']?.get?.deprecated).toBe(true)
})

test('one that stays says nothing of the kind', async () => {
  const { headers } = await routerOf(live).request('/livez')
  expect(['deprecation', 'sunset', 'link'].filter((name) => headers.has(name))).toEqual([])
})
