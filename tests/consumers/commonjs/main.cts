/** Somebody's CommonJS programme: `require` opens the package of ES modules, with types. Prints what came out as JSON. */
import { readFileSync } from 'node:fs'

import client = require('@fairpull/sdk')
import schemas = require('@fairpull/sdk/contract/schemas')
import engine = require('@fairpull/sdk/engine')
import integrity = require('@fairpull/sdk/verify')

async function main(): Promise<void> {
  const read = schemas.readComparison(JSON.parse(readFileSync('comparison.json', 'utf8')))
  if (!read.ok) throw new Error(read.problems[0].detail)
  const result = await engine.assess(read.comparison)
  const digest = await integrity.sha256Text(integrity.canonicalJsonBytes(result))
  const fairpull = new client.Fairpull({ baseUrl: 'http://127.0.0.1:1', retries: 0 })
  const outcome = await fairpull.protocols.list().safe()
  console.log(JSON.stringify({ digest, away: outcome.ok ? null : outcome.error.code }))
}

void main()
