import { describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { problemCodes, problemSlug, problemTypes } from '../../packages/service/src/http/problem.ts'
import { StoreError } from '../../packages/service/src/store/failure.ts'
import { sourceFiles } from '../support/source-files.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

const comparison = comparisonExamples.publishedFigures

async function problemOf(response: Response) {
  expect(response.headers.get('content-type')).toBe('application/problem+json')
  expect(response.headers.get('cache-control')).toBe('no-store')
  const problem = await response.json()
  expect(problem.status).toBe(response.status)
  expect(problem.requestId).toBe(response.headers.get('x-request-id'))
  return problem
}

function post(app: TestApp, body: BodyInit | null, headers: Record<string, string> = {}) {
  const init = {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json', ...headers },
    body,
    duplex: 'half',
  }
  return app.request('/v1/assessments', init)
}

describe('addresses and methods', () => {
  test('404 where there is nothing', async () => {
    const app = await createTestApp()
    for (const path of ['/', '/v1', '/v1/assessments/', '/v1/assessments/a/b', '/v1/protocols/%zz', '/LIVEZ']) {
      expect((await problemOf(await app.request(path, { headers: { authorization: 'Bearer fp_test' } }))).code).toBe(
        'ERR_NOT_FOUND',
      )
    }
  })

  test('405 with the methods that the address answers', async () => {
    const app = await createTestApp()
    const allowed = async (method: string, path: string) => {
      const response = await app.request(path, { method })
      expect((await problemOf(response)).code).toBe('ERR_METHOD')
      return response.headers.get('allow')
    }
    expect(await allowed('DELETE', '/v1/assessments')).toBe('POST, GET, HEAD')
    expect(await allowed('GET', '/v1/verifications')).toBe('POST')
    expect(await allowed('PUT', '/v1/protocols/motorcycle-rollers@1')).toBe('GET, HEAD')
    expect(await allowed('OPTIONS', '/livez')).toBe('GET, HEAD')
  })

  test('400 for a query parameter that is unknown, repeated or unreadable, all named at once', async () => {
    const app = await createTestApp()
    const detailOf = async (query: string) =>
      (await problemOf(await app.request(`/v1/assessments?${query}`, { headers: { authorization: 'Bearer fp_test' } })))
        .detail
    expect(await detailOf('dryrun=true')).toBe('Query parameter "dryrun": this operation does not know it.')
    expect(await detailOf('limit=1&limit=2')).toBe('Query parameter "limit": give it once.')
    expect(await detailOf('limit=101&cursor=x')).toBe(
      'Query parameter "limit": give a whole number from 1 to 100. ' +
        'Query parameter "cursor": give the nextCursor of a page.',
    )
    for (const limit of ['0', '-1', '1.5', '1e1', '', '0x10', '٣', '999999999999']) {
      expect(await detailOf(`limit=${limit}`)).toContain('a whole number from 1 to 100')
    }
    expect(await detailOf('__proto__=1')).toContain('does not know it')
  })

  test('400 for a misspelt value of dryRun, with nothing stored', async () => {
    const app = await createTestApp()
    const response = await app.request('/v1/assessments?dryRun=True', {
      method: 'POST',
      headers: { authorization: 'Bearer fp_test', 'content-type': 'application/json' },
      body: JSON.stringify(comparison),
    })
    expect((await problemOf(response)).code).toBe('ERR_PARAMETER')
    expect(app.store.issued).toHaveLength(0)
  })

  test('400 for an Idempotency-Key that cannot be a key', async () => {
    const app = await createTestApp()
    for (const key of ['two words', 'k'.repeat(256), 'ä']) {
      const response = await post(app, JSON.stringify(comparison), { 'idempotency-key': key })
      expect((await problemOf(response)).detail).toContain('Header field idempotency-key')
    }
  })
})

describe('API keys', () => {
  test('401 with a challenge, alike for a missing, malformed and unknown key', async () => {
    const app = await createTestApp()
    const challengeOf = async (headers: Record<string, string>) => {
      const response = await app.request('/v1/assessments', { headers })
      expect((await problemOf(response)).code).toBe('ERR_UNAUTHENTICATED')
      return response.headers.get('www-authenticate')
    }
    expect(await challengeOf({})).toBe('Bearer realm="fairpull"')
    for (const authorization of ['Bearer', 'Bearer fp_unknown', 'Basic fp_test', 'fp_test', 'Bearer fp_test fp_test']) {
      expect(await challengeOf({ authorization })).toBe('Bearer realm="fairpull", error="invalid_token"')
    }
  })

  test('403 for a key without the scope, which is named', async () => {
    const app = await createTestApp()
    app.admit('fp_reader', { scopes: ['assessments:read'] })
    const response = await post(app, JSON.stringify(comparison), { authorization: 'Bearer fp_reader' })
    expect((await problemOf(response)).code).toBe('ERR_SCOPE')
    expect(response.headers.get('www-authenticate')).toContain('scope="assessments:write"')
    expect((await app.request('/v1/assessments', { headers: { authorization: 'bearer fp_reader' } })).status).toBe(200)
  })

  test('a body is not read before its sender is known', async () => {
    const app = await createTestApp()
    const pulled = { chunks: 0 }
    const body = new ReadableStream(
      {
        pull: (controller) => {
          pulled.chunks += 1
          controller.enqueue(new Uint8Array(1024))
        },
      },
      { highWaterMark: 0 },
    )
    expect((await post(app, body, { authorization: 'Bearer fp_unknown' })).status).toBe(401)
    expect(pulled.chunks).toBe(0)
  })
})

describe('bodies', () => {
  test('415 for everything but uncompressed JSON in UTF-8', async () => {
    const app = await createTestApp()
    const statusOf = async (headers: Record<string, string>) =>
      (await post(app, JSON.stringify(comparison), headers)).status
    for (const type of [
      'text/plain',
      'application/json; charset=latin1',
      'application/json, text/plain',
      'application/jsonp',
      'application/problem+json',
      'multipart/form-data; boundary=x',
    ]) {
      expect(await statusOf({ 'content-type': type }), type).toBe(415)
    }
    for (const type of ['application/json', 'Application/JSON; Charset=UTF-8', 'application/json;charset="utf-8"']) {
      expect(await statusOf({ 'content-type': type }), type).toBe(201)
    }
    const compressed = await post(app, 'x', { 'content-encoding': 'gzip' })
    expect((await problemOf(compressed)).code).toBe('ERR_MEDIA_TYPE')
    expect(compressed.headers.get('accept-encoding')).toBe('identity')
    expect(await statusOf({ 'content-encoding': 'identity' })).toBe(201)
  })

  test('415 without a Content-Type', async () => {
    const app = await createTestApp()
    const response = await app.request('/v1/assessments', {
      method: 'POST',
      headers: { authorization: `Bearer ${app.key}` },
      body: new TextEncoder().encode(JSON.stringify(comparison)),
    })
    expect((await problemOf(response)).code).toBe('ERR_MEDIA_TYPE')
    expect(response.headers.get('accept')).toBe('application/json')
  })

  test('413 at one byte above the limit, which is named, and 201 at the limit', async () => {
    const text = JSON.stringify(comparison)
    const limit = text.length
    const app = await createTestApp({ bodyLimit: limit })
    expect((await post(app, text)).status).toBe(201)
    const response = await post(app, `${text} `)
    const problem = await problemOf(response)
    expect(problem.code).toBe('ERR_BODY_TOO_LARGE')
    expect(problem.detail).toContain(`${limit} bytes`)
    expect(app.store.issued).toHaveLength(1)
  })

  test('413 for a body that declares to be larger, before its first byte', async () => {
    const app = await createTestApp({ bodyLimit: 1000 })
    const pulled = { chunks: 0 }
    const pull = () => {
      pulled.chunks += 1
    }
    const body = new ReadableStream({ pull }, { highWaterMark: 0 })
    expect((await post(app, body, { 'content-length': '1001' })).status).toBe(413)
    expect(pulled.chunks).toBe(0)
  })

  test('413 for a body without end, cut at the limit', async () => {
    const app = await createTestApp({ bodyLimit: 10_000 })
    const pulled = { chunks: 0 }
    const body = new ReadableStream(
      {
        pull: (controller) => {
          pulled.chunks += 1
          controller.enqueue(new Uint8Array(1000))
        },
      },
      { highWaterMark: 0 },
    )
    expect((await post(app, body)).status).toBe(413)
    expect(pulled.chunks).toBe(11)
  })

  test('400 for a body that breaks off', async () => {
    const app = await createTestApp()
    const body = new ReadableStream({ pull: (controller) => controller.error(new Error('gone')) })
    expect((await problemOf(await post(app, body))).code).toBe('ERR_REQUEST_MALFORMED')
  })

  test('400 with a pointer for JSON that has more than one meaning, which never reaches the assessment', async () => {
    const calls: unknown[] = []
    const app = await createTestApp({
      assess: (given) => {
        calls.push(given)
        return Promise.reject(new Error('reached'))
      },
    })
    const refusedAs = async (body: string | Uint8Array<ArrayBuffer>) => {
      const problem = await problemOf(await post(app, body))
      expect(problem.code).toBe('ERR_JSON')
      expect(problem.errors).toHaveLength(1)
      return problem.errors[0]
    }
    const cases: readonly (readonly [string | Uint8Array<ArrayBuffer>, string, string])[] = [
      ['', 'ERR_JSON_SYNTAX', ''],
      ['{"runs":[{"id":"a","id":"b"}]}', 'ERR_JSON_DUPLICATE_NAME', '/runs/0/id'],
      ['{"a":NaN}', 'ERR_JSON_NOT_FINITE', '/a'],
      ['{"a":1e400}', 'ERR_JSON_NUMBER_OVERFLOW', '/a'],
      ['{"a":-0}', 'ERR_JSON_NEGATIVE_ZERO', '/a'],
      ['{"a":9007199254740993}', 'ERR_JSON_NUMBER_UNSAFE', '/a'],
      ['{"a":"\\ud800"}', 'ERR_JSON_LONE_SURROGATE', '/a'],
      [Uint8Array.from([0x22, 0xff, 0x22]), 'ERR_JSON_ENCODING', ''],
      ['\uFEFF{}', 'ERR_JSON_BOM', ''],
      [`${'['.repeat(33)}${']'.repeat(33)}`, 'ERR_JSON_DEPTH', '/0'.repeat(32)],
      ['{"__proto__":1}', 'ERR_JSON_FORBIDDEN_NAME', '/__proto__'],
      ['{} {}', 'ERR_JSON_TRAILING_TEXT', ''],
    ]
    for (const [body, code, pointer] of cases) expect(await refusedAs(body)).toMatchObject({ code, pointer })
    expect(calls).toEqual([])
  })

  test('422 with a pointer for every refused member', async () => {
    const app = await createTestApp()
    const run = {
      id: 'b1',
      side: 'before',
      purpose: 'measured',
      reported: { peakPower: { value: 71, unit: 'bhp' } },
      extra: 1,
    }
    const response = await post(app, JSON.stringify({ protocol: 'motorcycle-rollers@1', runs: [run] }))
    const problem = await problemOf(response)
    expect(response.status).toBe(422)
    expect(problem.code).toBe('ERR_BODY_INVALID')
    expect(problem.errors.map((each: { pointer: string }) => each.pointer).sort()).toEqual(
      ['/runs/0/extra', '/runs/0/reported/peakPower/unit', '/runs/0/side'].sort(),
    )
  })
})

describe('what a caller may send to verify', () => {
  test('422 with pointers into the comparison, and for everything that is no request', async () => {
    const app = await createTestApp()
    const errorsOf = async (body: unknown) => {
      const response = await app.request('/v1/verifications', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(body),
      })
      expect(response.status).toBe(422)
      return (await problemOf(response)).errors.map((each: { pointer: string; code: string }) => [
        each.pointer,
        each.code,
      ])
    }
    expect(await errorsOf([])).toEqual([['', 'ERR_WRONG_TYPE']])
    expect(await errorsOf({})).toEqual([['/summary', 'ERR_MISSING_MEMBER']])
    expect(await errorsOf({ summary: 1, 'a/b': 1 })).toEqual([
      ['/a~1b', 'ERR_UNKNOWN_MEMBER'],
      ['/summary', 'ERR_WRONG_TYPE'],
    ])
    const { protocol: _, ...rest } = comparison
    expect(await errorsOf({ summary: '', comparison: rest })).toEqual([['/comparison/protocol', 'ERR_MISSING_MEMBER']])
    expect(await errorsOf({ summary: '', comparison: { ...comparison, protocol: 'none@1' } })).toEqual([
      ['/comparison/protocol', 'ERR_NOT_IN_LIST'],
    ])
  })
})

describe('a store that fails', () => {
  test.each([
    ['ERR_STORE_UNAVAILABLE', 'ERR_STORE_UNAVAILABLE', '1'],
    ['ERR_STORE_CONTENDED', 'ERR_BUSY', '1'],
    ['ERR_STORE_FULL', 'ERR_STORE_FULL', '60'],
  ] as const)('%s is answered 503 %s with Retry-After', async (thrown, code, retryAfter) => {
    const app = await createTestApp()
    app.store.breakWith(new StoreError(thrown, 'no room at /var/lib/secret'))
    const response = await post(app, JSON.stringify(comparison))
    expect(response.status).toBe(503)
    expect(response.headers.get('retry-after')).toBe(retryAfter)
    const problem = await problemOf(response)
    expect(problem.code).toBe(code)
    expect(JSON.stringify(problem)).not.toContain('secret')
  })

  test('makes the service not ready, but leaves it alive', async () => {
    const app = await createTestApp()
    expect((await app.request('/readyz')).status).toBe(200)
    app.store.breakWith(new StoreError('ERR_STORE_UNAVAILABLE', 'away'))
    expect((await app.request('/readyz')).status).toBe(503)
    expect((await app.request('/livez')).status).toBe(200)
    app.store.breakWith(undefined)
    expect((await app.request('/readyz')).status).toBe(200)
  })
})

describe('a log that has stopped', () => {
  test('leaves everything readable, and readiness says so and why', async () => {
    const app = await createTestApp()
    expect((await post(app, JSON.stringify(comparison))).status).toBe(201)
    app.store.logStorage.alterHead({ size: 0 })
    expect((await app.request('/log/checkpoint')).status).toBe(503)
    const response = await app.request('/readyz')
    expect(response.status).toBe(200)
    expect(await response.json()).toEqual({
      status: 'reads-only',
      log: expect.stringContaining('ERR_LOG_SMALLER: the database holds 0 entries, but a tree of 1 was signed before'),
    })

    app.store.logStorage.alterHead({ size: 1, stopped: null })
    expect(await (await app.request('/readyz')).json()).toEqual({ status: 'ready' })
  })
})

describe('a service that shuts down', () => {
  test('answers 503 and closes the connection, but says that it is alive', async () => {
    const app = await createTestApp()
    app.lifecycle.isDraining = true
    for (const response of [await app.request('/readyz'), await post(app, JSON.stringify(comparison))]) {
      expect((await problemOf(response)).code).toBe('ERR_DRAINING')
      expect(response.headers.get('connection')).toBe('close')
      expect(response.headers.get('retry-after')).toBe('1')
    }
    expect((await app.request('/livez')).status).toBe(200)
    expect(app.store.issued).toHaveLength(0)
  })
})

describe('types of error', () => {
  test('each is described at its address', async () => {
    const app = await createTestApp()
    for (const code of problemCodes) {
      const page = await app.request(`/problems/${problemSlug(code)}`)
      expect(await page.json()).toEqual({ code, ...problemTypes[code] })
    }
    expect((await app.request('/problems/none')).status).toBe(404)
  })

  test('an error answer points there', async () => {
    const app = await createTestApp()
    const { type } = await problemOf(await app.request('/nowhere'))
    expect((await (await app.request(type)).json()).code).toBe('ERR_NOT_FOUND')
  })
})

test('the status of an error stands in one file alone', () => {
  const files = [...sourceFiles('packages/service/src/http'), ...sourceFiles('packages/service/src/usecases')]
  const code = (text: string) => text.replaceAll(/\/\*[\s\S]*?\*\/|\/\/.*|'[^'\n]*'|`[^`]*`/g, '')
  const withStatus = files.filter(({ text }) => /(?<![\w.])[45]\d\d(?![\w.])/.test(code(text)))
  expect(withStatus.map(({ path }) => path)).toEqual(['packages/service/src/http/problem.ts'])
})
