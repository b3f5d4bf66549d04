/** One real service for a file of tests, and clients of it whose every answer is held against the committed document. */
import { readFileSync } from 'node:fs'
import { Fairpull, type FairpullOptions } from '@fairpull/sdk'
import { type AnswerCheck, createAnswerCheck } from './openapi.ts'
import { createDataFolder, type ServiceProcess, startProcess } from './service-process.ts'

/** A service with a client in hand. */
export interface Journey {
  readonly service: ServiceProcess
  /** The first API key. */
  readonly apiKey: string
  /** As the global one; throws for an answer that the OpenAPI document does not have. */
  readonly fetch: typeof fetch
  /** A client of the service; with the first key unless told otherwise. */
  readonly client: (options?: Partial<FairpullOptions>) => Fairpull
  readonly check: AnswerCheck
  /** Stops the service and removes its data. */
  end(): Promise<void>
}

const committed = new URL('../../schemas/openapi.json', import.meta.url)

/** Starts a service on an empty embedded database. */
export async function startJourney(environment: Readonly<Record<string, string>> = {}): Promise<Journey> {
  const folder = createDataFolder()
  const service = await startProcess(folder.path, { FAIRPULL_ORGANISATION: 'Workshop A', ...environment })
  const apiKey = service.firstApiKey ?? ''
  const check = createAnswerCheck(JSON.parse(readFileSync(committed, 'utf8')))
  const checkedFetch: typeof fetch = async (input, init) => {
    const request = new Request(input, init)
    const response = await fetch(input, init)
    await check.expectDocumented({ method: request.method, path: new URL(request.url).pathname, response })
    return response
  }
  return {
    service,
    apiKey,
    check,
    fetch: checkedFetch,
    client: (options = {}) => new Fairpull({ baseUrl: service.url, apiKey, fetch: checkedFetch, ...options }),
    end: async () => {
      await service.end('SIGTERM')
      folder.remove()
    },
  }
}
