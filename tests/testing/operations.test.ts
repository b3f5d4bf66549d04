/** Service, fake and handlers answer alike, operation by operation. */
import { readFileSync } from 'node:fs'
import { createFakeService, type FakeService, TEST_TIME } from '@fairpull/sdk/testing'
import { fairpullHandlers } from '@fairpull/sdk/testing/msw'
import { setupServer } from 'msw/node'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { assess, protocols } from '../../packages/sdk/src/local/index.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

interface DocumentedOperation {
  readonly operationId: string
  readonly requestBody?: {
    readonly content: Readonly<
      Record<string, { readonly examples?: Readonly<Record<string, { readonly value: unknown }>> }>
    >
  }
}

interface Documented {
  readonly id: string
  readonly method: string
  readonly address: string
  readonly operation: DocumentedOperation
}

const documented = operationsIn(readFileSync(new URL('../../schemas/openapi.json', import.meta.url), 'utf8'))
const examples = documented.flatMap(examplesOf)

function operationsIn(text: string): readonly Documented[] {
  const { paths } = JSON.parse(text) as { paths: Record<string, Record<string, DocumentedOperation>> }
  return Object.entries(paths).flatMap(([address, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ id: operation.operationId, method, address, operation })),
  )
}

function examplesOf({ id, method, address, operation }: Documented) {
  return Object.entries(operation.requestBody?.content ?? {}).flatMap(([type, { examples: named = {} }]) =>
    Object.entries(named).map(([name, { value }]) => ({
      id,
      name,
      method,
      address,
      type,
      body: JSON.stringify(value),
    })),
  )
}

/** What of an answer has to be equal: everything but who signed it and in whose name. */
interface Said {
  readonly status: number
  readonly type: string | null
  readonly shape: unknown
}

async function said(response: Response): Promise<Said> {
  const text = await response.text()
  const type = response.headers.get('content-type')
  return {
    status: response.status,
    type,
    shape: /json$/.test(type ?? '') ? text.split('\n').filter(Boolean).map(shapeOf) : 'text',
  }
}

/** The JSON value without texts that a key, a name or an identity goes into. */
function shapeOf(line: string): unknown {
  return JSON.parse(line, (name, value) => (OWN.has(name) && value !== null ? typeof value : value))
}

const OWN = new Set([
  'summary',
  'notice',
  'list',
  'root',
  'issuer',
  'submitter',
  'kid',
  'x',
  'signature',
  'checkpoint',
  'proof',
  'receipt',
  'receipts',
  'requestId',
  'origin',
])

function ask(
  { method, address, type, body }: (typeof examples)[number],
  key: string,
  id: string,
): RequestInit & { path: string } {
  const headers = { authorization: `Bearer ${key}`, 'content-type': type }
  return { path: address.replace('{id}', id), method: method.toUpperCase(), headers, body }
}

const SOME_ID = '01890000-0000-7000-8000-000000000001'

describe('every operation of the document', () => {
  test('is one of the fake, and the fake has no other', async () => {
    const { operations } = await createFakeService()
    const named = (each: { readonly id: string; readonly method: string; readonly address: string }) =>
      `${each.id} ${each.method} ${each.address}`
    expect(operations.map(named).sort()).toEqual(documented.map(named).sort())
  })

  test('has a handler', async () => {
    const fake = await createFakeService()
    expect(fairpullHandlers(fake)).toHaveLength(documented.length)
    expect(fairpullHandlers(fake, ['getKeys']).map(({ info }) => info.header)).toEqual([
      'GET http://fairpull.test/.well-known/jwks.json',
    ])
  })

  test('with a body has an example', () => {
    const withBody = documented.filter(({ operation }) => operation.requestBody !== undefined)
    expect([...new Set(examples.map(({ id }) => id))].sort()).toEqual(withBody.map(({ id }) => id).sort())
  })
})

describe('service, fake and handlers answer alike:', () => {
  let service: TestApp
  let fake: FakeService
  let handled: FakeService
  let server: ReturnType<typeof setupServer>
  beforeAll(async () => {
    service = await createTestApp({ assess, protocols, now: () => new Date(TEST_TIME), bodyLimit: 2 * 1024 * 1024 })
    fake = await createFakeService({ organisation: 'Workshop A' })
    handled = await createFakeService({ organisation: 'Workshop A' })
    server = setupServer(...fairpullHandlers(handled))
    server.listen({ onUnhandledRequest: 'error' })
  })
  afterAll(() => server.close())

  /** The same request to all three, in the same order as every other, so that identities count alike. */
  async function answers(path: string, init: RequestInit) {
    return {
      ofService: await said(await service.request(path, init)),
      ofFake: await said(await fake.fetch(`${fake.baseUrl}${path}`, init)),
      ofHandlers: await said(await fetch(`${handled.baseUrl}${path}`, init)),
    }
  }

  test.each(examples.map((example) => [`${example.id} (${example.name})`, example] as const))(
    '%s',
    async (_, example) => {
      const { path, ...sent } = ask(example, service.key, SOME_ID)
      const { ofService, ofFake, ofHandlers } = await answers(path, sent)
      expect(ofFake).toEqual(ofService)
      expect(ofHandlers).toEqual(ofService)
    },
  )

  test.each(documented.filter(({ method }) => method === 'get').map((each) => [each.id, each] as const))(
    '%s',
    async (_, { address }) => {
      const path = address
        .replace('/protocols/{id}', '/protocols/motorcycle-rollers@1')
        .replace('{id}', SOME_ID)
        .replace('{slug}', 'not-found')
        .replace('{tile}', '0/000.p/1')
      const { ofService, ofFake, ofHandlers } = await answers(path, {
        headers: { authorization: `Bearer ${service.key}` },
      })
      expect(ofFake).toEqual(ofService)
      expect(ofHandlers).toEqual(ofService)
    },
  )
})
