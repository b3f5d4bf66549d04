/** Invented results of four comparisons, as an engine would give them; only their form matters here. */
import type {
  ClaimJudgement,
  Finding,
  Gain,
  GainCurve,
  Interval,
  Result,
} from '../../packages/sdk/src/contract/index.ts'

const DIGEST = `sha256:${'0'.repeat(64)}`

function interval(estimate: number | null, low: number | null, high: number | null): Interval {
  return {
    estimate,
    low,
    high,
    standardUncertainty: low === null || high === null ? null : (high - low) / 4.6,
    coverageFactor: low === null ? null : 2.3,
    degreesOfFreedom: low === null ? null : 8,
    rule: low === null ? null : 'welch-satterthwaite',
    scope: low === null ? 'none' : 'reproducible',
    twoDriftModels: false,
  }
}

function finding(check: string, status: Finding['status'], parts: Partial<Finding> = {}): Finding {
  return {
    check,
    status,
    severity: 'gate',
    observed: null,
    limit: null,
    unit: '',
    runs: [],
    sentence: `The sides agree in ${check}.`,
    remedy: '',
    evidence: null,
    basis: 'common practice, no source',
    ...parts,
  }
}

function bandMean(relative: Interval, parts: Partial<Gain> = {}): Gain {
  return {
    of: { quantity: 'wheel-power', kind: 'band-mean', from_rpm: 3000, to_rpm: 9000 },
    baseline: 54.2,
    modified: 55.69,
    unit: 'kW',
    absolute: interval(1.49, 1.25, 1.73),
    relative,
    asMounted: null,
    conditional: null,
    ...parts,
  }
}

/** A gain that rises, falls and ends below zero, on a grid of 50 rpm. */
function curve(offset: number): GainCurve {
  const speeds = Array.from({ length: 121 }, (_, index) => 3000 + 50 * index)
  const gain = speeds.map((speed) => offset + 3 * Math.sin(((speed - 3000) / 6000) * Math.PI * 1.5))
  return {
    engineSpeed_rpm: speeds,
    baseline_kW: speeds.map((speed) => speed / 150),
    modified_kW: speeds.map((speed, index) => (speed / 150) * (1 + (gain[index] ?? 0) / 100)),
    gain_percent: gain,
    pointwise: null,
    simultaneous: { low: gain.map((each) => each - 0.9), high: gain.map((each) => each + 0.9) },
    scope: 'reproducible',
    significant: [
      { kind: 'gain', from_rpm: 3300, to_rpm: 6800 },
      { kind: 'loss', from_rpm: 8200, to_rpm: 9000 },
    ],
    significantPointwise: [],
  }
}

function claim(
  parts: Pick<ClaimJudgement, 'claim' | 'statement' | 'judgement' | 'sentence'> & Partial<ClaimJudgement>,
): ClaimJudgement {
  return {
    reason: null,
    unit: '%',
    over: { kind: 'band-mean', from: { value: 3000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
    interval: interval(2.75, 2.31, 3.2),
    asMounted: null,
    supportP: 0.001,
    contradictionP: 1,
    conditional: null,
    smallest: null,
    largest: null,
    scope: [],
    bandMean: null,
    ...parts,
  }
}

/** A comparison that holds: two claims, one of them too bold. */
export const validResult: Result = {
  method: '1',
  protocol: { id: 'motorcycle-rollers@1', digest: DIGEST },
  inputs: { comparison: DIGEST, runs: [{ run: 'b1', digest: DIGEST }] },
  standing: 'valid',
  scope: [],
  score: 94,
  verdict: 'The air-filter element adds 2.75 % wheel power on average from 3000 to 9000 rpm.',
  findings: [
    finding('gear-matched', 'met'),
    finding('tyre-pressure-matched', 'met'),
    finding('intake-air-matched', 'marginal', {
      severity: 'scope',
      observed: 6.1,
      limit: 5,
      unit: 'K',
      sentence: 'The intake air of the sides differs by 6.1 K; up to 5 K is met.',
      remedy: 'Let the cell come to rest between the blocks.',
    }),
    finding('strap-load-matched', 'not-applicable', { severity: 'note' }),
  ],
  attribution: {
    underTest: ['air-filter element'],
    alsoChanged: [],
    sentence: 'The gain belongs to: air-filter element.',
  },
  alternatives: [],
  gains: {
    correction: 'un-r85',
    measuredAt: 'wheel',
    corrected: [
      bandMean(interval(2.75, 2.31, 3.2)),
      bandMean(interval(3.1, 1.9, 4.3), {
        of: { quantity: 'wheel-power', kind: 'peak', from_rpm: null, to_rpm: null },
        baseline: 71.3,
        modified: 73.51,
        absolute: interval(2.21, 1.35, 3.06),
      }),
    ],
    uncorrected: [bandMean(interval(2.71, 2.27, 3.16))],
    curve: curve(1.2),
  },
  budget: [
    {
      term: 'repeatability',
      type: 'A',
      standardUncertainty: 0.15,
      degreesOfFreedom: 6,
      share: 62,
      status: 'these-runs',
    },
    { term: 'drift', type: 'B', standardUncertainty: 0.1, degreesOfFreedom: 1e9, share: 33, status: 'assumed' },
    { term: 'ambient', type: 'B', standardUncertainty: 0.03, degreesOfFreedom: 1e9, share: 5, status: 'assumed' },
  ],
  claims: [
    claim({
      claim: 'c1',
      statement: 'at least 1.5 % more mean wheel power from 3000 to 9000 rpm',
      judgement: 'supported',
      sentence: 'Supported, not pre-registered: the gain is +2.75 % (95 % interval +2.31 to +3.20 %).',
    }),
    claim({
      claim: 'c2',
      statement: 'at least 4 % more mean wheel power from 3000 to 9000 rpm',
      judgement: 'contradicted',
      sentence: 'Contradicted: the gain is +2.75 % (95 % interval +2.31 to +3.20 %).',
    }),
  ],
  nextSteps: [],
  cautions: [
    { about: 'rotating-parts', sentence: 'Nobody stands in line with wheel and chain, or within reach, during a run.' },
  ],
  accounting: {
    recorded: 10,
    used: ['b1', 'b2', 'b3', 'm1', 'm2', 'm3', 'b4', 'b5', 'b6'],
    excluded: [],
    notMeasured: [{ run: 'w1', purpose: 'conditioning' }],
    unlisted: 0,
    unaccounted: [],
    perSide: { baseline: 6, modified: 3 },
    traces: [],
  },
  limits: ['It does not show that the rig was honest.', 'It speaks of this machine only.'],
}

/** A comparison that cannot be used: one run a side, everything different. */
export const invalidResult: Result = {
  ...validResult,
  standing: 'invalid',
  score: 0,
  verdict: 'The sides were not measured alike, so their difference says nothing about the silencer.',
  findings: [
    finding('gear-matched', 'breached', {
      observed: '5 and 6',
      sentence: 'The baseline was run in gear 5, the modified side in gear 6.',
      remedy: 'Run both sides in gear 5.',
      runs: ['b1', 'm1'],
    }),
    finding('fuel-matched', 'breached', {
      severity: 'scope',
      sentence: 'The sides had different fuel.',
      remedy: 'Use one fuel for both sides.',
    }),
    finding('air-credible', 'not-evidenced', {
      sentence: 'The station pressure was not recorded.',
      remedy: 'Add it from your notes.',
      evidence: 'from-records',
    }),
    finding('vehicle-matched', 'met'),
  ],
  attribution: {
    underTest: ['silencer'],
    alsoChanged: ['ignition map'],
    sentence: 'The silencer was changed together with the ignition map.',
  },
  alternatives: [],
  gains: {
    ...validResult.gains,
    correction: 'none',
    corrected: [bandMean(interval(6.4, null, null))],
    uncorrected: [],
    curve: { ...curve(4), simultaneous: null, significant: [], significantPointwise: [], scope: 'none' },
  },
  budget: [],
  claims: [
    claim({
      claim: 'c1',
      statement: 'at least 5 % more peak wheel power',
      judgement: 'not-assessable',
      sentence: 'The comparison is invalid.',
      interval: interval(null, null, null),
    }),
  ],
  nextSteps: [
    { cost: 'records', sentence: 'Add the station pressure of both runs.', settles: ['air-credible'] },
    {
      cost: 'hours-on-the-rollers',
      sentence: 'Measure both sides again in gear 5, with one fuel.',
      settles: ['gear-matched', 'fuel-matched'],
    },
  ],
  accounting: {
    ...validResult.accounting,
    recorded: 2,
    used: ['b1', 'm1'],
    notMeasured: [],
    unaccounted: [213],
    excluded: [{ run: 'm2', rule: 'fuelling', reason: 'it starved at the top' }],
    perSide: { baseline: 1, modified: 1 },
    traces: [],
  },
}

/** A comparison of two published figures: no interval, an answer on assumed values. */
export const reportedResult: Result = {
  ...validResult,
  standing: 'limited',
  score: 21,
  scope: ['The figures are published ones; nobody handed over the runs.'],
  verdict: 'Two published peaks differ by 3.9 %; alone they cannot show that the part did it.',
  findings: [
    finding('runs-enough', 'not-evidenced', {
      severity: 'scope',
      sentence: 'One figure a side.',
      remedy: 'Ask for the runs.',
      evidence: 'repeat',
    }),
  ],
  alternatives: [],
  gains: {
    correction: 'as-printed',
    measuredAt: 'not-recorded',
    corrected: [
      bandMean(interval(3.9, null, null), {
        of: { quantity: 'wheel-power', kind: 'peak', from_rpm: null, to_rpm: null },
        conditional: { on: 'cautious', filled: ['repeatability', 'remounting'], relative: interval(3.9, -0.8, 8.6) },
      }),
    ],
    uncorrected: [],
    curve: null,
  },
  budget: [],
  claims: [
    claim({
      claim: 'c1',
      statement: 'at least 3 % more peak wheel power',
      judgement: 'undecided',
      sentence: 'Two figures alone have no interval.',
      reason: 'no-interval',
      interval: interval(3.9, null, null),
      conditional: {
        on: 'cautious',
        judgement: 'undecided',
        sentence: 'On cautious values it stays undecided.',
        interval: interval(3.9, -0.8, 8.6),
      },
    }),
  ],
  nextSteps: [{ cost: 'ask-the-publisher', sentence: 'Wheel or crankshaft power?', settles: [] }],
  cautions: [],
  accounting: {
    ...validResult.accounting,
    recorded: 2,
    used: ['b1', 'm1'],
    notMeasured: [],
    perSide: { baseline: 1, modified: 1 },
    traces: [],
  },
}
