/** Example bodies of the OpenAPI document. Each is sent through the service by a test. */
import type { Comparison } from '@fairpull/sdk/contract'

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
