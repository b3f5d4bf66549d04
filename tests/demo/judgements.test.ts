/** The demo's judgements are the same for every seed; one that differs is reported, never drawn again. */
import { describe, expect, test } from 'vitest'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { type DemoName, demoComparison } from '../../packages/service/demo/scenario/index.ts'

const SEEDS = Array.from({ length: 50 }, (_, k) => k + 1)

/** Standing and judgements as the scenario is made to have them. */
const EXPECTED: Readonly<Record<DemoName, string>> = {
  'air-filter': 'valid: supported, contradicted',
  'intake-trumpets': 'limited: supported, contradicted',
  silencer: 'invalid: not-assessable',
  'published-peaks': 'limited: undecided',
}

describe('judgements of the demo for the seeds 1 to 50', () => {
  test.each(Object.entries(EXPECTED) as [DemoName, string][])('%s is %s', async (name, expected) => {
    const differing: string[] = []
    for (const seed of SEEDS) {
      const { standing, claims } = await assess(demoComparison(name, seed))
      const got = `${standing}: ${claims.map(({ judgement }) => judgement).join(', ')}`
      if (got !== expected) differing.push(`seed ${seed}: ${got}`)
    }
    expect(differing).toEqual([])
  })
})
