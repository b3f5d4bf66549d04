import type { Claim, Comparison, Run } from '@fairpull/sdk/contract'
import { ordinaryPace, simulateSession } from '@fairpull/sdk/testing'
import { demoMachine, demoNoise, demoSampling, onDemoBench } from './bench.ts'
import { comparisonSeed } from './seeds.ts'

const CLAIMS: readonly Claim[] = [
  {
    id: 'peak',
    quantity: 'wheel-power',
    over: { kind: 'peak' },
    relation: 'at-least',
    gain: { value: 4, unit: '%' },
  },
]

/** What was not kept alike between the sides. */
const SPOILED = {
  baseline: { gear: 5, pressure_kPa: 180, coolant_degC: 62, oil_degC: 54, fuel: 'unleaded 95', tune: 'standard map' },
  modified: {
    gear: 6,
    pressure_kPa: 235,
    coolant_degC: 86,
    oil_degC: 92,
    fuel: 'unleaded 98',
    tune: 'map made for the silencer',
  },
} as const

/**
 * A spoiled test: one run a side, and hardly anything kept alike but the name of the machine.
 *
 * The silencer itself truly gains 1 %; the gear, the tyre, the cold engine, the fuel and the map do the rest.
 */
export function silencer(seed: number): Comparison {
  const { baseline, modified } = SPOILED
  const { comparison } = simulateSession({
    seed: comparisonSeed('silencer', seed),
    design: 'A|B',
    runsPerBlock: 1,
    gain: { shape: 'uniform', percent: 1 },
    claims: CLAIMS,
    machine: { ...demoMachine, tyrePressure_Pa: baseline.pressure_kPa * 1000 },
    noise: demoNoise({ repeatability_1: 0.003, remounting_1: 0.005 }),
    pace: { ...ordinaryPace, conditioningRuns: 0 },
    faults: [
      { kind: 'gear', gear: modified.gear, isDeclared: true },
      { kind: 'tyre-pressure', ratio_1: modified.pressure_kPa / baseline.pressure_kPa, isDeclared: true },
    ],
    sampling: demoSampling,
  })
  return {
    ...onDemoBench(comparison),
    changes: [
      { what: 'silencer', role: 'under-test', swap: { onRollers: true, reversible: true, minutes: 20 } },
      { what: 'ignition and fuelling map', role: 'other', accountsFor: ['tune'] },
    ],
    runs: comparison.runs.map(spoiledRun),
  }
}

function spoiledRun(run: Run): Run {
  const { coolant_degC, oil_degC, fuel, tune } = SPOILED[run.side]
  return {
    ...run,
    setup: { ...run.setup, fuel: { name: fuel }, tune },
    conditions: {
      ...run.conditions,
      coolantTemperature: { value: coolant_degC, unit: 'degC' },
      oilTemperature: { value: oil_degC, unit: 'degC' },
    },
  }
}
