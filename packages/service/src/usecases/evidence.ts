/** The evidence behind a summary in the form in which it is kept: what was judged can be judged again from it. */
import { endianness } from 'node:os'
import type { Channels, Comparison, InputDigests, Run } from '@fairpull/sdk/contract'
import { canonicalJsonBytes } from '@fairpull/sdk/verify'
import { digestBytes } from '../digest-bytes.ts'
import type { NewAssessment, StoredRun } from '../ports.ts'

/** A comparison as it is stored: itself, and its runs under their digests. */
export interface Evidence extends Pick<NewAssessment, 'comparison' | 'comparisonDigest'> {
  readonly runs: readonly StoredRun[]
}

/**
 * The evidence of a comparison.
 *
 * @param inputs digests of this very comparison as its result states them, runs in its order.
 */
export function evidenceOf(comparison: Comparison, inputs: InputDigests): Evidence {
  const digests = inputs.runs.map(({ digest }) => digest)
  return {
    comparison: canonicalJsonBytes({ ...comparison, runs: digests }),
    comparisonDigest: digestBytes(inputs.comparison),
    runs: comparison.runs.map((run, index) => ({ digest: digestBytes(digests[index] ?? ''), bytes: runBytes(run) })),
  }
}

/** The run as JSON, its channels as base64: the same run under the same digest, written ten times as fast as numbers. */
export function runBytes(run: Pick<Run, 'channels'>): Uint8Array {
  const { channels } = run
  return Buffer.from(JSON.stringify(channels === undefined ? run : { ...run, channels: inBase64(channels) }))
}

function inBase64(channels: Channels): Readonly<Record<string, unknown>> {
  return Object.fromEntries(
    Object.entries(channels).map(([name, channel]) => {
      const { values, ...rest } = channel
      return [name, values === undefined ? rest : { ...rest, base64: float64Base64(values) }]
    }),
  )
}

/** Base64 of little-endian float64, by the machine's own copying: 120,000 values take a millisecond, not fifty. */
function float64Base64(values: readonly number[]): string {
  const bytes = Buffer.from(Float64Array.from(values).buffer)
  return (endianness() === 'LE' ? bytes : bytes.swap64()).toString('base64')
}
