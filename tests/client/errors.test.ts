import { describe, expect, test, vi } from 'vitest'
import type { RequestEvent } from '../../packages/sdk/src/client/index.ts'
import { isApiError, isFairpullError } from '../../packages/sdk/src/client/index.ts'
import { clientOn, failureOf } from './clients.ts'
import { answerJson, answerProblem, listen } from './loopback.ts'

const list = { items: [], nextCursor: null }

describe('errors', () => {
  test('a refusal says what, where and what to do', async () => {
    const server = await listen((response) => {
      response.writeHead(422, { 'content-type': 'application/problem+json', 'x-request-id': 'req-5' })
      response.end(
        JSON.stringify({
          type: 'https://fairpull.example/problems/comparison-refused',
          title: 'The comparison was refused',
          status: 422,
          detail: 'Two members are not of the form.',
          code: 'ERR_COMPARISON_REFUSED',
          requestId: 'req-5',
          errors: [
            {
              pointer: '/runs/0/setup/tyrePressure/unit',
              code: 'ERR_UNKNOWN_UNIT',
              detail: '"PSI" is no unit of pressure; write "psi".',
            },
            { pointer: '/claims/0/gain', code: 'ERR_MISSING_MEMBER', detail: 'The member is missing.' },
          ],
        }),
      )
    })
    const error = await failureOf(clientOn(server.baseUrl).assessments.create({ protocol: 'p', runs: [] }))
    expect(error.message).toBe(
      [
        `POST ${server.baseUrl}/v1/assessments was refused (422 ERR_COMPARISON_REFUSED): Two members are not of the form.`,
        '  /runs/0/setup/tyrePressure/unit: "PSI" is no unit of pressure; write "psi".',
        '  /claims/0/gain: The member is missing.',
        'Correct what is named above and send it again.',
        'Request id: req-5.',
      ].join('\n'),
    )
    expect(error).toMatchObject({
      requestId: 'req-5',
      errors: [{ code: 'ERR_UNKNOWN_UNIT' }, { code: 'ERR_MISSING_MEMBER' }],
    })
  })

  test('an HTML page of a proxy is told apart, with its title', async () => {
    const server = await listen((response) => {
      response.writeHead(502, { 'content-type': 'text/html' })
      response.end(
        '<!doctype html><html><head><title>502 Bad Gateway</title></head><body><center>…</center></body></html>',
      )
    })
    const error = await failureOf(clientOn(server.baseUrl, { retries: 0 }).protocols.list())
    expect(error).toMatchObject({ name: 'UnexpectedAnswerError', code: 'ERR_UNEXPECTED_ANSWER', status: 502 })
    expect(error.message).toContain('502 Bad Gateway')
    expect(error.message).not.toContain('<')
  })

  test('a login page with status 200 is no answer either', async () => {
    const server = await listen((response) => {
      response.writeHead(200, { 'content-type': 'text/html' })
      response.end('<title>Sign in</title>')
    })
    expect(await failureOf(clientOn(server.baseUrl).protocols.list())).toMatchObject({
      code: 'ERR_UNEXPECTED_ANSWER',
      status: 200,
    })
  })

  test('JSON that breaks off is told apart from an answer', async () => {
    const server = await listen((response) => {
      response.writeHead(200, { 'content-type': 'application/json' })
      response.end('{"items":[')
    })
    const error = await failureOf(clientOn(server.baseUrl).protocols.list())
    expect(error).toMatchObject({ code: 'ERR_UNEXPECTED_ANSWER' })
    expect(error.message).toContain('the body is not JSON')
  })

  test('a redirect is not followed: the API key stays with the address it was given for', async () => {
    const elsewhere = await listen((response) => answerJson(response, list))
    const server = await listen((response) => {
      response.writeHead(307, { location: `${elsewhere.baseUrl}/v1/protocols` })
      response.end()
    })
    const error = await failureOf(clientOn(server.baseUrl, { apiKey: 'fp_secret' }).protocols.list())
    expect(error).toMatchObject({ code: 'ERR_UNEXPECTED_ANSWER', status: 307 })
    expect(error.message).toContain(elsewhere.baseUrl)
    expect(elsewhere.received).toHaveLength(0)
  })

  test('a refused connection names the cause and keeps it', async () => {
    const server = await listen((response) => response.end())
    await server.close()
    const error = await failureOf(clientOn(server.baseUrl, { retries: 0 }).protocols.list())
    expect(error).toMatchObject({ name: 'NetworkError', code: 'ERR_NETWORK', requestId: null })
    expect(error.message).toContain('ECONNREFUSED')
    expect(error.cause).toBeInstanceOf(Error)
  })

  test('the API key is sent, and is in no error and no hook', async () => {
    const seen: RequestEvent[] = []
    const server = await listen((response) => answerProblem(response, 401, 'ERR_UNAUTHORISED'))
    const hooks = { onRequest: (event: RequestEvent) => void seen.push(event) }
    const error = await failureOf(clientOn(server.baseUrl, { apiKey: 'fp_secret', hooks }).protocols.list())
    expect(server.received[0]?.headers.authorization).toBe('Bearer fp_secret')
    expect(`${error.message}${error.stack}${JSON.stringify(error)}${JSON.stringify(seen)}`).not.toContain('fp_secret')
  })

  test('errors of another copy of the package are recognised, where instanceof fails', async () => {
    const server = await listen((response) => answerProblem(response, 404, 'ERR_NOT_FOUND'))
    vi.resetModules()
    const other = await import('../../packages/sdk/src/client/index.ts')
    const error = await failureOf(new other.Fairpull({ baseUrl: server.baseUrl }).protocols.list())
    const { ApiError } = await import('../../packages/sdk/src/client/errors.ts')
    expect(error).toBeInstanceOf(ApiError)
    vi.resetModules()
    const { ApiError: AnotherApiError } = await import('../../packages/sdk/src/client/errors.ts')
    expect(error).not.toBeInstanceOf(AnotherApiError)
    expect(isFairpullError(error)).toBe(true)
    expect(isApiError(error)).toBe(true)
  })

  test.each([
    null,
    undefined,
    'ERR_NETWORK',
    new Error('x'),
    { code: 'ERR_NETWORK' },
    Object.assign(new Error('x'), { code: 'ENOENT' }),
  ])('%s is not an error of this package', (value) => {
    expect(isFairpullError(value)).toBe(false)
  })

  test('NaN in a comparison is refused with its pointer before anything is sent, not sent as null', async () => {
    const server = await listen((response) => answerJson(response, {}))
    const run = {
      id: 'b1',
      side: 'baseline',
      purpose: 'measured',
      channels: { wheelPower: { unit: 'kW', values: [1, Number.NaN] } },
    } as const
    const error = await failureOf(clientOn(server.baseUrl).assessments.create({ protocol: 'p', runs: [run] }))
    expect(error).toMatchObject({ code: 'ERR_NOT_JSON_VALUE', pointer: '/runs/0/channels/wheelPower/values/1' })
    expect(server.received).toHaveLength(0)
  })

  test('an error of a hook is the caller’s own and passes as it is, also through safe()', async () => {
    const server = await listen((response) => answerJson(response, list))
    const fault = new RangeError('the hook is wrong')
    const hooks = {
      onResponse: () => {
        throw fault
      },
    }
    const client = clientOn(server.baseUrl, { hooks })
    await expect(client.protocols.list()).rejects.toBe(fault)
    await expect(client.protocols.list().safe()).rejects.toBe(fault)
    expect(server.received).toHaveLength(2)
  })
})

describe('calls', () => {
  test('safe() gives the outcome, with the request id on success and on failure', async () => {
    const server = await listen((response, _, count) => {
      if (count === 1) answerJson(response, list)
      else answerProblem(response, 404, 'ERR_NOT_FOUND')
    })
    const client = clientOn(server.baseUrl)
    expect(await client.protocols.list().safe()).toEqual({ ok: true, value: list, requestId: 'req-1' })
    expect(await client.protocols.get('x').safe()).toMatchObject({
      ok: false,
      error: { code: 'ERR_NOT_FOUND' },
      requestId: 'req-7',
    })
  })

  test('withResponse() gives the value, the response with its body, and the request id', async () => {
    const server = await listen((response) => answerJson(response, list, 200, { etag: '"1"' }))
    const { data, response, requestId } = await clientOn(server.baseUrl).protocols.list().withResponse()
    expect(data).toEqual(list)
    expect(response.headers.get('etag')).toBe('"1"')
    await expect(response.json()).resolves.toEqual(list)
    expect(requestId).toBe('req-1')
  })

  test('members of an answer that nobody knows are left alone', async () => {
    const server = await listen((response) => answerJson(response, { ...list, addedLater: { deep: [1] } }))
    await expect(clientOn(server.baseUrl).protocols.list()).resolves.toEqual({ ...list, addedLater: { deep: [1] } })
  })

  test('one call is one request, however often it is awaited', async () => {
    const server = await listen((response) => answerJson(response, list))
    const call = clientOn(server.baseUrl).protocols.list()
    await call
    await call.safe()
    await call.withResponse()
    await call.finally(() => undefined)
    expect(server.received).toHaveLength(1)
  })

  test('request() reaches operations this version does not know', async () => {
    const server = await listen((response, request) => answerJson(response, { echo: request.body }))
    const call = clientOn(server.baseUrl).request({
      method: 'POST',
      path: '/v1/plans',
      query: { dryRun: true },
      body: '{"a":1}',
    })
    await expect((await call).json()).resolves.toEqual({ echo: '{"a":1}' })
    expect(server.received[0]).toMatchObject({ method: 'POST', url: '/v1/plans?dryRun=true' })
  })

  test('headers a hook returns are sent', async () => {
    const server = await listen((response) => answerJson(response, list))
    const hooks = { onRequest: () => ({ traceparent: '00-1-2-01' }) }
    await clientOn(server.baseUrl, { hooks }).protocols.list()
    expect(server.received[0]?.headers.traceparent).toBe('00-1-2-01')
  })

  test('what is special in an id is escaped', async () => {
    const server = await listen((response) => answerJson(response, {}))
    await clientOn(server.baseUrl).protocols.get('../keys?x#y')
    expect(server.received[0]?.url).toBe('/v1/protocols/..%2Fkeys%3Fx%23y')
  })
})
