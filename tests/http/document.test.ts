import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, test } from 'vitest'
import { operations } from '../../packages/service/src/http/operations.ts'
import { createTestApp, documentOfSources } from '../support/test-app.ts'

describe('the OpenAPI document', () => {
  test('holds every operation of the router, and no other', () => {
    const documented = Object.entries(documentOfSources.paths ?? {}).flatMap(([address, item]) =>
      Object.keys(item).map((method) => `${method} ${address}`),
    )
    expect(documented.sort()).toEqual(operations.map(({ method, address }) => `${method} ${address}`).sort())
    expect(new Set(operations.map(({ id }) => id)).size).toBe(operations.length)
  })

  test('is the committed one', () => {
    const committed = readFileSync(new URL('../../schemas/openapi.json', import.meta.url), 'utf8')
    expect(committed).toBe(`${JSON.stringify(documentOfSources, null, 2)}\n`)
  })

  test('is served as it is', async () => {
    const app = await createTestApp()
    expect(await (await app.request('/openapi.json')).json()).toEqual(documentOfSources)
  })

  test('refers only to schemas that it has, and each of them is sound', () => {
    const text = JSON.stringify(documentOfSources)
    const names = Object.keys(documentOfSources.components?.schemas ?? {})
    for (const [, name] of text.matchAll(/"#\/components\/schemas\/(\w+)"/g)) expect(names).toContain(name)
    const ajv = new Ajv2020({ strict: false, validateFormats: false })
    ajv.addSchema({ $id: 'urn:fairpull:sound', ...documentOfSources })
    for (const name of names) ajv.compile({ $ref: `urn:fairpull:sound#/components/schemas/${name}` })
  })

  test('explains every operation, parameter and schema', () => {
    for (const { summary, description } of operations) expect([summary, description].every(Boolean)).toBe(true)
    for (const [name, schema] of Object.entries(documentOfSources.components?.schemas ?? {})) {
      expect(schema.description, name).toBeTruthy()
    }
  })

  test('has examples that the service takes as they stand', async () => {
    const app = await createTestApp()
    const sent: string[] = []
    for (const { id, method, address, body, eachLine } of operations) {
      for (const [name, example] of Object.entries(body?.examples ?? {})) {
        const response = await app.request(address, {
          method: method.toUpperCase(),
          headers: { authorization: `Bearer ${app.key}`, 'content-type': typeOf(eachLine) },
          body: JSON.stringify(example),
        })
        expect(response.ok, `${id} ${name}`).toBe(true)
        sent.push(`${id} ${name}`)
      }
    }
    expect(sent.length).toBeGreaterThanOrEqual(operations.filter(({ body }) => body !== null).length)
  })
})

/** The media type of a body. */
function typeOf(eachLine: string | undefined): string {
  return eachLine === undefined ? 'application/json' : 'application/x-ndjson'
}

/** An address of each operation at which there is something. */
const addresses: Readonly<Record<string, string>> = {
  createAssessment: '/v1/assessments',
  createBatch: '/v1/batches',
  listAssessments: '/v1/assessments',
  getAssessment: '/v1/assessments/01890000-0000-7000-8000-000000000001',
  createVerification: '/v1/verifications',
  listProtocols: '/v1/protocols',
  getProtocol: '/v1/protocols/motorcycle-rollers@0',
  getKeys: '/.well-known/jwks.json',
  getOpenApi: '/openapi.json',
  getProblemType: '/problems/not-found',
  getLiveness: '/livez',
  getReadiness: '/readyz',
}

/** Who may do what: the row of every operation, by the scopes of a key; `null` stands for no key. */
describe('the authorisation matrix', () => {
  const keys = { none: null, 'no scope': [], read: ['assessments:read'], write: ['assessments:write'] } as const
  const matrix: Readonly<Record<string, Readonly<Record<keyof typeof keys, boolean>>>> = {
    createAssessment: { none: false, 'no scope': false, read: false, write: true },
    listAssessments: { none: false, 'no scope': false, read: true, write: false },
    createBatch: { none: false, 'no scope': false, read: false, write: true },
    getAssessment: { none: false, 'no scope': false, read: true, write: false },
    createVerification: { none: true, 'no scope': true, read: true, write: true },
    listProtocols: { none: true, 'no scope': true, read: true, write: true },
    getProtocol: { none: true, 'no scope': true, read: true, write: true },
    getKeys: { none: true, 'no scope': true, read: true, write: true },
    getOpenApi: { none: true, 'no scope': true, read: true, write: true },
    getProblemType: { none: true, 'no scope': true, read: true, write: true },
    getLiveness: { none: true, 'no scope': true, read: true, write: true },
    getReadiness: { none: true, 'no scope': true, read: true, write: true },
  }

  test('has a row for every operation, and no other', () => {
    expect(Object.keys(matrix).sort()).toEqual(operations.map(({ id }) => id).sort())
  })

  test.each(operations.map((operation) => [operation.id, operation] as const))(
    '%s',
    async (id, { method, body, eachLine }) => {
      const app = await createTestApp()
      for (const [name, scopes] of Object.entries(keys)) {
        if (scopes !== null) app.admit('fp_row', { scopes })
        const authorization: Record<string, string> = scopes === null ? {} : { authorization: 'Bearer fp_row' }
        const [example] = Object.values(body?.examples ?? {})
        const response = await app.request(addresses[id] ?? '', {
          method: method.toUpperCase(),
          headers: { ...authorization, 'content-type': typeOf(eachLine) },
          ...(body === null ? {} : { body: JSON.stringify(example) }),
        })
        const isPermitted = response.status !== 401 && response.status !== 403
        expect(isPermitted, `${name}: ${response.status}`).toBe(matrix[id]?.[name as keyof typeof keys])
      }
    },
  )
})
