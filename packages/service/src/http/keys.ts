/** `/.well-known/jwks.json`: whom a signature is checked against. */
import { caching, jsonBytes, okTagged } from './answer.ts'
import { operation } from './operation.ts'

/** GET /.well-known/jwks.json: the public keys of this service. */
export const getKeys = operation({
  id: 'getKeys',
  method: 'get',
  address: '/.well-known/jwks.json',
  tag: 'Verification',
  summary: 'Read the public keys',
  description:
    'The public signing keys of this service, RFC 7517. A key that came from the same place as a summary shows that ' +
    'the summary is unaltered; that the key is the one you trust you have to know from elsewhere.',
  scope: null,
  path: {},
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The keys.', schema: 'KeySet', headers: { etag: 'Entity tag.' } } },
  refusals: [],
  handle: async (_request, { useCases }) => okTagged(jsonBytes(useCases.publicKeys()), caching.shared),
})
