import type { Comparison } from '@fairpull/sdk/contract'
import { simulateSession } from '@fairpull/sdk/testing'

const CHANNELS = ['time', 'engineSpeed', 'wheelPower', 'torque', 'rollerSpeed'] as const
const SIGNIFICANT_DIGITS = 7

/** Twelve measured runs of 2,000 samples and five channels, written as a rig exports them: some 0.85 MB of JSON. */
export function benchComparison(): Comparison {
  const { comparison } = simulateSession({
    seed: 1,
    design: 'ABAB',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: 4 },
    sampling: { by: 'speed', step_rpm: 4 },
    claims: [
      {
        id: 'mid-range',
        quantity: 'wheel-power',
        over: { kind: 'band-mean', from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
        relation: 'at-least',
        gain: { value: 2, unit: '%' },
      },
    ],
  })
  const rounded = (value: unknown) =>
    typeof value === 'number' ? Number(value.toPrecision(SIGNIFICANT_DIGITS)) : value
  const runs = comparison.runs.map((run) => {
    const { channels } = run
    if (channels === undefined) return run
    return { ...run, channels: Object.fromEntries(CHANNELS.map((name) => [name, channels[name]])) }
  })
  return JSON.parse(JSON.stringify({ ...comparison, runs }, (_, value: unknown) => rounded(value)))
}
