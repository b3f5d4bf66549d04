import { describe } from 'vitest'
import { sha256 } from '../../packages/sdk/src/integrity/sha256.ts'
import { fromText } from '../adversarial/support/bytes.ts'
import { expectPublishedExactly, testPublished } from '../support/published.ts'

describe('RFC 9530: SHA-256 content digests', () => {
  for (const id of ['digest-256', 'digest-empty']) {
    testPublished(id, async (check) => {
      const digest = await sha256(fromText(String(check.inputs.content)))
      expectPublishedExactly(check, `sha-256=:${Buffer.from(digest).toString('base64')}:`)
    })
  }
})
