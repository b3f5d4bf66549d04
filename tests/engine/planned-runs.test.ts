/** The numbers in the next steps of an undecided claim. */
import { describe, expect, test } from 'vitest'
import type { Claim, Comparison, Result, Swap } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { noDisclosure, type SessionRecipe, simulateSession } from '../../packages/sdk/src/testing/index.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'

const quick: Swap = { onRollers: true, reversible: true, minutes: 15 }
const slow: Swap = { onRollers: false, reversible: true, minutes: 240 }

/** A session with a gain of about 3 %, whose change is made as said. */
function session(claims: readonly Claim[], swap: Swap | undefined, recipe: Partial<SessionRecipe> = {}): Comparison {
  const { comparison } = simulateSession({
    seed: 5,
    design: 'A|B',
    runsPerBlock: 3,
    gain: { shape: 'uniform', percent: 3 },
    claims,
    ...recipe,
  })
  const change = { what: 'silencer', role: 'under-test' } as const
  return { ...comparison, changes: [swap === undefined ? change : { ...change, swap }] }
}

/** A claim so far below what these runs say; above it where negative. The estimate does not depend on the claim. */
async function below(distance: number): Promise<Claim> {
  const { gains } = await assess(session([bandMeanClaim('c1', percent(1))], quick))
  return bandMeanClaim('c1', percent((gains.corrected[0]?.relative.estimate ?? Number.NaN) - distance))
}

const rollerSteps = ({ nextSteps }: Result) => nextSteps.filter(({ cost }) => cost.endsWith('on-the-rollers'))
const sentences = (result: Result) =>
  rollerSteps(result)
    .map(({ sentence }) => sentence)
    .join(' ')

describe('an undecided claim on whose side the estimate lies', () => {
  test('a quick swap: so many runs taking turns, with the interval they would give', async () => {
    const result = await assess(session([await below(1)], quick))
    expect(result.claims[0]?.judgement).toBe('undecided')
    expect(sentences(result)).toMatch(
      /Stay strapped down .+ If the gain is what these runs say, \d+ runs of each side, taking turns in one mounting, would settle c1 four times in five \(interval about ±\d\.\d %\)\./,
    )
  })

  test('a slow swap: so many mountings within each side', async () => {
    const result = await assess(session([await below(1)], slow))
    expect(result.claims[0]?.judgement).toBe('undecided')
    expect(sentences(result)).toMatch(
      /Strap the machine down three times .+ \d+ mountings? of each side with \d measured runs? in each would (settle c1|come to)/,
    )
  })

  test('the closer the claim, the more runs', async () => {
    const runsFor = async (distance: number) => {
      const result = await assess(session([await below(distance)], quick))
      const [, runs, mountings] =
        /say, (\d+) runs of each side, taking turns in (?:each of )?(\w+)/.exec(sentences(result)) ?? []
      return Number(runs) * (mountings === 'one' ? 1 : Number(mountings))
    }
    expect(await runsFor(0.5)).toBeGreaterThan(await runsFor(1.2))
  })

  test('a claim at the estimate itself is called hopeless, with the closest that can be had', async () => {
    const result = await assess(session([await below(0.01)], quick))
    expect(sentences(result)).toMatch(
      /c1 lies so close to it that no sensible number of runs would settle it; .+ would come to about ±/,
    )
  })

  test('one run a side without a record: the typical scatter stands in', async () => {
    const bare = session([bandMeanClaim('c1', percent(1))], quick, { runsPerBlock: 1, disclosure: noDisclosure })
    const { facility: _, ...unrecorded } = bare
    const result = await assess(unrecorded)
    expect(result.claims[0]?.judgement).toBe('undecided')
    expect(sentences(result)).toMatch(/\d+ runs of each side, taking turns in one mounting, would settle c1/)
  })
})

describe('no number is given', () => {
  const numbers = /If the gain is what these runs say/

  test('where the estimate lies on the wrong side', async () => {
    const result = await assess(session([await below(-0.3)], quick))
    expect(result.claims[0]?.judgement).toBe('undecided')
    expect(rollerSteps(result).length).toBeGreaterThan(0)
    expect(sentences(result)).not.toMatch(numbers)
  })

  test.each<readonly [string, Claim]>([
    [
      'for a claim about every speed',
      {
        id: 'c1',
        quantity: 'wheel-power',
        over: { kind: 'everywhere', from: { value: 4000, unit: 'rpm' }, to: { value: 10_000, unit: 'rpm' } },
        relation: 'at-least',
        gain: percent(2),
      },
    ],
    ['for an absolute claim', bandMeanClaim('c1', { value: 0.9, unit: 'kW' })],
    [
      'for a claim within a tolerance',
      { ...bandMeanClaim('c1', percent(3)), relation: 'equals-within', tolerance: percent(0.2) },
    ],
  ])('%s', async (_, claim) => {
    const result = await assess(session([claim], quick))
    expect(result.claims[0]?.judgement).toBe('undecided')
    expect(rollerSteps(result).length).toBeGreaterThan(0)
    expect(sentences(result)).not.toMatch(numbers)
  })

  test('while nobody says how the change is made', async () => {
    const result = await assess(session([bandMeanClaim('c1', percent(2))], undefined))
    expect(sentences(result)).toContain('Say how long the change takes')
    expect(sentences(result)).not.toMatch(numbers)
  })

  test('once the claim is supported', async () => {
    const result = await assess(session([await below(5)], quick))
    expect(result.claims[0]?.judgement).toBe('supported')
    expect(sentences(result)).not.toMatch(numbers)
  })
})
