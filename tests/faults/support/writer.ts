/**
 * A service that writes without pause until it is killed: opens the store, tells its parent that it is ready, and issues
 * the requests `first`, `first + 1`, … each under its own key, several at a time. Every acknowledgement is reported.
 */
import { openStore } from '../../../packages/service/src/store/store.ts'
import { issuanceOf } from './issuance.ts'

const [, , dataFolder = '', first = '0', databaseUrl] = process.argv
const LANES = 6

const store = await openStore({
  dataFolder,
  databaseUrl,
  notify: () => undefined,
  onLost: (reason) => process.send?.({ kind: 'lost', message: reason.message }),
}).catch((error: Error) => {
  process.send?.({ kind: 'refused', message: error.message })
  return undefined
})

if (store !== undefined) {
  process.send?.({ kind: 'ready' })
  let next = Number(first)
  const lane = async () => {
    for (;;) {
      const number = next
      next += 1
      const { outcome, response } = await store
        .issue(issuanceOf({ key: `key-${number}`, request: `request-${number}` }))
        .then((answer) => (answer.outcome === 'conflict' ? { outcome: 'conflict', response: undefined } : answer))
      process.send?.({ kind: 'acknowledged', number, outcome, location: response?.headers.location })
    }
  }
  await Promise.all(Array.from({ length: LANES }, lane))
}
process.disconnect?.()
