/** Example bodies of the OpenAPI document. Each is sent through the service by a test. */
import type { Comparison, RunCheckRequest, SampleSizeRequest } from '@fairpull/sdk/contract'

/** Two published peak figures and what is claimed of them. */
const publishedFigures: Comparison = {
  protocol: 'motorcycle-rollers@1',
  changes: [{ what: 'silencer', role: 'under-test' }],
  runs: [
    {
      id: 'before',
      side: 'baseline',
      purpose: 'measured',
      origin: 'reported',
      reported: { peakPower: { value: 71.2, unit: 'kW' }, at: { value: 9400, unit: 'rpm' } },
    },
    {
      id: 'after',
      side: 'modified',
      purpose: 'measured',
      origin: 'reported',
      reported: { peakPower: { value: 73.9, unit: 'kW' }, at: { value: 9500, unit: 'rpm' } },
    },
  ],
  claims: [
    {
      id: 'peak',
      quantity: 'wheel-power',
      over: { kind: 'peak' },
      relation: 'at-least',
      gain: { value: 3, unit: '%' },
    },
  ],
}

/** Bodies of a comparison, by name. */
export const comparisonExamples = { publishedFigures } as const

/** A run of seven samples, too few to be one: what a file of the wrong kind looks like. */
const coarseRun: RunCheckRequest = {
  protocol: 'motorcycle-rollers@1',
  run: {
    id: 'pull-3',
    side: 'baseline',
    purpose: 'measured',
    channels: {
      engineSpeed: { unit: 'rpm', values: [3000, 4200, 5400, 6600, 7800, 9000, 10_200] },
      wheelPower: { unit: 'kW', values: [18.4, 27.9, 36.8, 47.2, 56.1, 63.5, 61.2] },
    },
  },
}

/** Bodies of a run to be checked, by name. */
export const runCheckExamples = { coarseRun } as const

/** A claim to be planned at a rig whose repeatability is on record. */
const recordedRig: SampleSizeRequest = {
  protocol: 'motorcycle-rollers@1',
  target: { kind: 'claim', atLeast: { value: 3, unit: '%' }, slack: { value: 1.2, unit: '%' }, chance: 0.8 },
  swap: { onRollers: true, reversible: true, minutes: 15 },
  bandWidth: { value: 5000, unit: 'rpm' },
  record: {
    on: '2026-03-02',
    appliesTo: { machine: 'Naked twin, 800 cm³', strapping: 'four ratchet straps', class: 'naked 600 to 900 cm³' },
    repeatability: { relativeSd: 0.004, degreesOfFreedom: 8, status: 'measured' },
    remounting: { relativeSd: 0.005, degreesOfFreedom: 7, status: 'measured' },
  },
}

/** An interval to be planned for a part that takes hours to fit, at a rig of which nothing is on record. */
const slowSwap: SampleSizeRequest = {
  protocol: 'motorcycle-rollers@1',
  target: { kind: 'half-width', halfWidth: { value: 2.5, unit: '%' } },
  swap: { onRollers: false, reversible: false, minutes: 240 },
  bandWidth: { value: 5000, unit: 'rpm' },
}

/** Examples of questions for sample sizes. */
export const sampleSizeExamples = { recordedRig, slowSwap } as const
