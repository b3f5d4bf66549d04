/** `/v1/protocols`: what comparisons are judged by. */
import { caching, jsonBytes, okTagged } from './answer.ts'
import { operation } from './operation.ts'
import { textLike } from './parameter.ts'
import { refuse } from './problem.ts'

/** GET /v1/protocols: every protocol by name. */
export const listProtocols = operation({
  id: 'listProtocols',
  method: 'get',
  address: '/v1/protocols',
  tag: 'Protocols',
  summary: 'List the protocols',
  description: 'The protocols that this service judges by. A protocol never changes under its name and version.',
  scope: null,
  path: {},
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The protocols.', schema: 'ProtocolList', headers: { etag: 'Entity tag.' } } },
  refusals: [],
  handle: async (_request, { useCases }) => {
    const items = Object.values(useCases.protocols).map(({ id, title }) => ({ id, title }))
    return okTagged(jsonBytes({ items }), caching.shared)
  },
})

/** GET /v1/protocols/{id}: every check of a protocol with its limits and their basis. */
export const getProtocol = operation({
  id: 'getProtocol',
  method: 'get',
  address: '/v1/protocols/{id}',
  tag: 'Protocols',
  summary: 'Read a protocol',
  description: 'Every check of the protocol, its limits, and the basis of each limit.',
  scope: null,
  path: { id: textLike('Name and version.', /^[a-z0-9-]{1,60}@[0-9]{1,6}$/, 'a name and version') },
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The protocol.', schema: 'Protocol', headers: { etag: 'Entity tag.' } } },
  refusals: ['ERR_NOT_FOUND'],
  handle: async ({ path }, { useCases }) => {
    const { protocols } = useCases
    const protocol = Object.hasOwn(protocols, path.id) ? protocols[path.id] : undefined
    if (protocol === undefined) return refuse('ERR_NOT_FOUND', 'There is no protocol of this name and version.')
    return okTagged(jsonBytes(protocol), caching.shared)
  },
})
