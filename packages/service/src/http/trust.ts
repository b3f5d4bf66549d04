/** `/trust.json`: what the root says of the keys of this service. */
import { caching, jsonBytes, okTagged } from './answer.ts'
import { operation } from './operation.ts'

/** GET /trust.json: the signed trust list. */
export const getTrust = operation({
  id: 'getTrust',
  method: 'get',
  address: '/trust.json',
  tag: 'Verification',
  summary: 'Read the trust list',
  description:
    'Which keys may sign for this issuer, from when to when, up to which index of the log, and which log is its own: signed by ' +
    'a root key that is kept offline. Get the root key from the issuer by another way than this address, keep the version ' +
    'you saw last, and refuse a lower one.',
  scope: null,
  path: {},
  query: {},
  header: {},
  body: null,
  answers: { 200: { description: 'The signed list.', schema: 'SignedTrustList', headers: { etag: 'Entity tag.' } } },
  refusals: [],
  handle: async (_request, { useCases }) => okTagged(jsonBytes(useCases.trustList()), caching.shared),
})
