/** Handlers for Mock Service Worker, version 2 or 3. The entry `@fairpull/sdk/testing/msw`; needs `msw` installed. */
import { type HttpHandler, http } from 'msw'
import type { FakeOperation, FakeService } from './fake-service.ts'

/**
 * A handler for every operation of the service, answered by a fake: what the software under test sends with any client
 * of its own arrives there.
 *
 * @example
 * const fake = await createFakeService()
 * const server = setupServer(...fairpullHandlers(fake))
 * @param only operations to handle, by `operationId`. Default: all.
 */
export function fairpullHandlers(fake: FakeService, only?: readonly string[]): HttpHandler[] {
  const wanted = fake.operations.filter(({ id }) => only === undefined || only.includes(id))
  return wanted.map((operation) => handlerOf(operation, fake))
}

function handlerOf({ method, address }: FakeOperation, fake: FakeService): HttpHandler {
  const path = address.replace(/\{tile\}$/, ':tile+').replaceAll(/\{(\w+)\}/g, ':$1')
  const handle = method === 'get' ? http.get : http.post
  return handle(`${fake.baseUrl}${path}`, ({ request }) => fake.fetch(request))
}
