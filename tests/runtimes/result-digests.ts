/** Prints the digests of results as JSON: two runtimes that print the same compute the same bytes. */
import { assess } from '@fairpull/sdk/engine'
import { twoFigures } from '@fairpull/sdk/testing'
import { canonicalJsonBytes, sha256Text } from '@fairpull/sdk/verify'
import { generatedComparison } from '../support/generated-comparison.ts'

const GENERATED = 200

const digestOf = async (comparison: typeof twoFigures) => sha256Text(canonicalJsonBytes(await assess(comparison)))

const digests: Record<string, string> = { 'two figures': await digestOf(twoFigures) }
for (let seed = 1; seed <= GENERATED; seed += 1) {
  digests[`generated ${seed}`] = await digestOf(generatedComparison(seed))
}
process.stdout.write(JSON.stringify(digests))
