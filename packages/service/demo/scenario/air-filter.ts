import type { Claim, Comparison } from '@fairpull/sdk/contract'
import { ordinaryPace, simulateSession } from '@fairpull/sdk/testing'
import { demoMachine, demoNoise, demoSampling, onDemoBench } from './bench.ts'
import { comparisonSeed } from './seeds.ts'

const BAND = { kind: 'band-mean', from: { value: 4000, unit: 'rpm' }, to: { value: 10_000, unit: 'rpm' } } as const

const CLAIMS: readonly Claim[] = [
  {
    id: 'modest',
    quantity: 'wheel-power',
    over: BAND,
    relation: 'at-least',
    gain: { value: 1.5, unit: '%' },
  },
  {
    id: 'bold',
    quantity: 'wheel-power',
    over: BAND,
    relation: 'at-least',
    gain: { value: 4, unit: '%' },
  },
]

/**
 * A vendor's good test: an air-filter element changed and changed back on the rollers.
 *
 * A-B-A, three runs a block, one mounting, one day, no facility record. True gain 2.75 % everywhere; run-to-run standard
 * deviation 0.2 %.
 */
export function airFilter(seed: number): Comparison {
  const { comparison } = simulateSession({
    seed: comparisonSeed('air-filter', seed),
    design: 'ABA',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: 2.75 },
    claims: CLAIMS,
    machine: demoMachine,
    noise: demoNoise({ repeatability_1: 0.002, remounting_1: 0.003 }),
    pace: { ...ordinaryPace, cadence_s: 150, swap_s: 480, conditioningRuns: 3 },
    sampling: demoSampling,
  })
  return {
    ...onDemoBench(comparison),
    changes: [
      {
        what: 'air-filter element, open weave for the paper one',
        role: 'under-test',
        swap: { onRollers: true, reversible: true, minutes: 8 },
      },
    ],
  }
}
