/** A result that says nothing: for tests that look at how results travel, not at what they say. */
import type { Comparison, Interval, Result } from '../../packages/sdk/src/contract/index.ts'
import { inputDigests } from '../../packages/sdk/src/integrity/index.ts'

const nothing: Interval = {
  estimate: null,
  low: null,
  high: null,
  standardUncertainty: null,
  coverageFactor: null,
  degreesOfFreedom: null,
  rule: null,
  scope: 'none',
  twoDriftModels: false,
}

/** A result of the right shape with the true digests of the comparison, standing `invalid`, and no figure in it. */
export async function plainResult(comparison: Comparison): Promise<Result> {
  return {
    method: '0.0.0-test',
    protocol: { id: comparison.protocol, digest: `sha256:${'0'.repeat(64)}` },
    inputs: await inputDigests(comparison),
    standing: 'invalid',
    scope: [],
    score: 0,
    verdict: 'Nothing was looked at.',
    findings: [
      {
        check: 'gear-matched',
        status: 'not-evidenced',
        severity: 'gate',
        observed: null,
        limit: null,
        unit: '',
        runs: comparison.runs.map(({ id }) => id),
        sentence: 'Nothing was looked at.',
        remedy: 'Look.',
        evidence: 'from-records',
        basis: 'none',
      },
    ],
    attribution: { underTest: [], alsoChanged: [], sentence: 'Nothing was looked at.' },
    alternatives: [],
    gains: { correction: 'none', measuredAt: 'not-recorded', corrected: [], uncorrected: [], curve: null },
    budget: [],
    claims: (comparison.claims ?? []).map(({ id, gain, over }) => ({
      claim: id,
      statement: 'Something is claimed.',
      judgement: 'not-assessable',
      sentence: 'Nothing was looked at.',
      reason: 'nothing was looked at',
      unit: gain.unit,
      over,
      interval: nothing,
      asMounted: null,
      supportP: 1,
      contradictionP: 1,
      conditional: null,
      smallest: null,
      largest: null,
      scope: [],
      bandMean: null,
    })),
    nextSteps: [],
    cautions: [],
    accounting: {
      recorded: comparison.runs.length,
      used: [],
      excluded: [],
      notMeasured: [],
      unlisted: 0,
      unaccounted: [],
      perSide: { baseline: 0, modified: 0 },
      traces: [],
    },
    limits: ['It says nothing.'],
  }
}
