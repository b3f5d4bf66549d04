/** Every seed of the demo comes out as the story says; a seed that differs is a failure, never drawn again. */
import { describe, expect, test } from 'vitest'
import type { Result } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { type DemoName, demoComparison } from '../../packages/service/demo/scenario/index.ts'

const SEEDS = Array.from({ length: 50 }, (_, k) => k + 1)

/** Standing and judgements in one line, for example `valid: modest supported`. */
function answerOf({ standing, claims }: Result): string {
  return `${standing}: ${claims.map(({ claim, judgement }) => `${claim} ${judgement}`).join(', ')}`
}

async function answersOf(name: DemoName): Promise<readonly string[]> {
  const results: string[] = []
  for (const seed of SEEDS) results.push(answerOf(await assess(demoComparison(name, seed))))
  return results
}

describe('seeds 1 to 50 of the demo', () => {
  test.each<[DemoName, string]>([
    ['air-filter', 'valid: modest supported, bold contradicted'],
    ['intake-trumpets', 'limited: mid-range supported, no-price-at-the-top contradicted'],
    ['silencer', 'invalid: peak not-assessable'],
    ['published-peaks', 'limited: peak undecided'],
  ])('%s is %s', async (name, answer) => {
    const differing = (await answersOf(name)).flatMap((found, k) =>
      found === answer ? [] : [`seed ${k + 1}: ${found}`],
    )
    expect(differing).toEqual([])
  })

  test('air-filter: every gate and every scope check is met or does not apply', async () => {
    const { findings } = await assess(demoComparison('air-filter', 1))
    const open = findings.filter(
      ({ severity, status }) => severity !== 'note' && status !== 'met' && status !== 'not-applicable',
    )
    expect(open.map(({ check, status }) => `${check} ${status}`)).toEqual([])
  })

  test('silencer: gear, tyre pressure and the cold engine make it invalid; fuel and the second change are named beside', async () => {
    const { findings, attribution } = await assess(demoComparison('silencer', 1))
    const breached = (severity: string) =>
      findings
        .filter((finding) => finding.status === 'breached' && finding.severity === severity)
        .map(({ check }) => check)
    expect(breached('gate')).toEqual(['gear-matched', 'tyre-pressure-matched', 'warmed-up'])
    expect(breached('scope')).toEqual(expect.arrayContaining(['fuel-matched', 'one-change', 'runs-enough']))
    expect(attribution.alsoChanged).toContain('ignition and fuelling map')
  })

  test('published-peaks: the conditional answer rests on cautious values and stays undecided', async () => {
    const { claims, gains } = await assess(demoComparison('published-peaks', 1))
    expect(claims[0]?.conditional?.on).toBe('cautious')
    expect(claims[0]?.conditional?.judgement).toBe('undecided')
    expect(gains.curve).toBeNull()
  })
})
