import type { Claim, Comparison } from '@fairpull/sdk/contract'
import { ordinaryPace, simulateSession } from '@fairpull/sdk/testing'
import { demoMachine, demoNoise, demoSampling, onDemoBench } from './bench.ts'
import { comparisonSeed } from './seeds.ts'

const CLAIMS: readonly Claim[] = [
  {
    id: 'mid-range',
    quantity: 'wheel-power',
    over: { kind: 'band-mean', from: { value: 3500, unit: 'rpm' }, to: { value: 5500, unit: 'rpm' } },
    relation: 'at-least',
    gain: { value: 1.5, unit: '%' },
  },
  {
    id: 'no-price-at-the-top',
    quantity: 'wheel-power',
    over: { kind: 'band-mean', from: { value: 7500, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
    relation: 'at-least',
    gain: { value: 0, unit: '%' },
  },
]

/**
 * A part that takes an hour with the tank off: longer intake trumpets.
 *
 * Three strappings within each side on one day, one conditioning and one measured run each, no facility record. True gain
 * +5 % below and -3 % above about 6,500 rpm; run-to-run and mounting standard deviation 0.3 %.
 */
export function intakeTrumpets(seed: number): Comparison {
  const { comparison } = simulateSession({
    seed: comparisonSeed('intake-trumpets', seed),
    design: 'A|A|A|B|B|B',
    runsPerBlock: 1,
    gain: { shape: 'step', below_percent: 5, above_percent: -3, at_rpm: 6500, width_rpm: 150 },
    claims: CLAIMS,
    machine: demoMachine,
    noise: demoNoise({ repeatability_1: 0.003, remounting_1: 0.003 }),
    pace: { ...ordinaryPace, remounting_s: 1500, swap_s: 3600, conditioningRuns: 1 },
    sampling: demoSampling,
  })
  return {
    ...onDemoBench(comparison),
    changes: [
      {
        what: 'intake trumpets, 40 mm longer',
        role: 'under-test',
        swap: { onRollers: false, reversible: true, minutes: 60 },
      },
    ],
  }
}
