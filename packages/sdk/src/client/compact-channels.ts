/** Comparisons that stay small on their way. */
import { encodeChannelValues, readChannelValues } from '../contract/channel-values.ts'
import type { ChannelValues, Comparison, Run } from '../contract/index.ts'

/**
 * The comparison with its channels as base64 of float64: the same numbers under the same digest in about half the room,
 * and read many times as fast.
 *
 * A channel that holds what no channel may hold is left as it is, so that the service can say where in it.
 */
export function compactChannels(comparison: Comparison): Comparison {
  return { ...comparison, runs: comparison.runs.map(compactRun) }
}

function compactRun(run: Run): Run {
  if (run.channels === undefined) return run
  const channels = Object.entries(run.channels).map(([name, channel]) => [name, compactChannel(channel)])
  return { ...run, channels: Object.fromEntries(channels) }
}

function compactChannel<C extends ChannelValues>(channel: C): ChannelValues {
  const { values, ...rest } = channel
  if (values === undefined) return channel
  const read = readChannelValues(channel)
  return read.ok ? { ...rest, base64: encodeChannelValues(read.values) } : channel
}
