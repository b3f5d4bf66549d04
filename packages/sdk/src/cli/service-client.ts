import type { Fairpull, FairpullOptions } from '../client/index.ts'
import type { CommandIo } from './io.ts'

/** Which service, and with which key. */
export interface ServiceOptions {
  /** Address of the service. */
  readonly service: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
}

/** A client of the service that was named; loaded when a word needs it and not before. */
export async function serviceClient(
  io: CommandIo,
  { service, key }: ServiceOptions,
  more: Partial<FairpullOptions> = {},
): Promise<Fairpull> {
  const { Fairpull: Client } = await import('../client/index.ts')
  const apiKey = key ?? io.env.FAIRPULL_KEY
  return new Client({
    baseUrl: service,
    ...(apiKey === undefined ? {} : { apiKey }),
    ...(io.fetch === undefined ? {} : { fetch: io.fetch }),
    ...more,
  })
}
