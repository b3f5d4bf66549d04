/** Example bodies of the operations of plans. Each is sent through the service by a test. */
import type { PlanRequest, Run } from '@fairpull/sdk/contract'

const terms: Omit<PlanRequest, 'blocks' | 'draw'> = {
  product: 'Slip-on silencer, model of the year',
  protocol: 'motorcycle-rollers@1',
  facility: { id: 'cell-1', altitude: { value: 120, unit: 'm' }, rollers: [{ id: 'r1', kind: 'inertia' }] },
  vehicle: { id: 'v1', label: 'Test bench machine, 600 cm³' },
  changes: [{ what: 'silencer', role: 'under-test', swap: { onRollers: true, reversible: true, minutes: 15 } }],
  conditioningRuns: 3,
  primary: {
    id: 'power',
    quantity: 'wheel-power',
    over: { kind: 'band-mean', from: { value: 4000, unit: 'rpm' }, to: { value: 10_000, unit: 'rpm' } },
    relation: 'at-least',
    gain: { value: 2, unit: '%' },
  },
  exclusionRules: [],
}

/** Plans with their order written out, and drawn. */
export const planExamples = {
  baselineModifiedBaseline: {
    ...terms,
    blocks: [
      { mounting: 'm1', side: 'baseline', runs: 3 },
      { mounting: 'm1', side: 'modified', runs: 3 },
      { mounting: 'm1', side: 'baseline', runs: 3 },
    ],
  },
  interleavedByLot: { ...terms, draw: { seed: 20_260_502, pairs: 4, mountings: ['m1', 'm2'] } },
} as const satisfies Readonly<Record<string, PlanRequest>>

/** A new version of the first of them. */
export const amendmentExample = {
  reason: 'One run more on each side, since the cell is booked for longer.',
  plan: {
    ...planExamples.baselineModifiedBaseline,
    blocks: planExamples.baselineModifiedBaseline.blocks.map((block) => ({ ...block, runs: 4 })),
  },
} as const

const conditioning: Run = {
  id: 'w1',
  side: 'baseline',
  mounting: 'm1',
  purpose: 'conditioning',
  counter: 212,
  startedAt: '2026-05-02T11:40:00+02:00',
}

/** A conditioning run, with the mounting it is made in. The challenge is that of the plan. */
export const planRunExample = {
  challenge: '0'.repeat(64),
  run: conditioning,
  mounting: { id: 'm1', at: '2026-05-02T11:30:00+02:00' },
} as const
