// Writes a summary to try the other programmes on: made up, and signed by a key that everybody knows, so that nobody may
// trust it outside a test. Usage: node make-sample.mjs
import { writeFile } from 'node:fs/promises'
import process from 'node:process'
import { recordedSession, signedFixture, tampered, testTrust } from '@fairpull/sdk/testing'

const { summary, comparison } = await signedFixture(recordedSession())
await writeFile('summary.jws', `${summary}\n`)
await writeFile('altered.jws', `${tampered(summary)}\n`)
await writeFile('comparison.json', JSON.stringify(comparison))
await writeFile('trust.json', JSON.stringify(testTrust, null, 2))
process.stdout.write('Wrote summary.jws, altered.jws (one letter changed), comparison.json and trust.json.\n')
