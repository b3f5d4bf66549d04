/** The printed sentences of claims about a range, relative and absolute, of every judgement. */
import { describe, expect, test } from 'vitest'
import type { Claim, ClaimJudgement, Judgement } from '../../packages/sdk/src/contract/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { noDisclosure, type SessionRecipe, simulateSession } from '../../packages/sdk/src/testing/index.ts'

type Kind = 'everywhere' | 'no-loss' | 'anywhere'
type Unit = '%' | 'kW'

function claimOf(kind: Kind, value: number, unit: Unit): Claim {
  return {
    id: 'c1',
    quantity: 'wheel-power',
    over: { kind, from: { value: 5000, unit: 'rpm' }, to: { value: 10_000, unit: 'rpm' } },
    relation: 'at-least',
    gain: { value, unit },
  }
}

/** A gain that is largest about 8,000 rpm, by 4 % more than its floor. */
async function judged(claim: Claim, floor_percent = 3, recipe: Partial<SessionRecipe> = {}): Promise<ClaimJudgement> {
  const { comparison } = simulateSession({
    seed: 4,
    design: 'ABA',
    runsPerBlock: 3,
    gain: { shape: 'hump', floor_percent, height_percent: 4, at_rpm: 8000, width_rpm: 800 },
    claims: [claim],
    ...recipe,
  })
  const [judgement] = (await assess(comparison)).claims
  if (judgement === undefined) throw new Error('no judgement')
  return judgement
}

const BEGINNINGS: Readonly<Record<Judgement, string>> = {
  supported: 'Supported, not pre-registered: ',
  contradicted: 'Contradicted: ',
  undecided: 'Undecided: ',
  'not-assessable': 'Not assessable: ',
}

const ENDS: Readonly<Record<Judgement, string>> = {
  supported: '.',
  contradicted: '.',
  undecided: ', which neither supports nor contradicts the claim.',
  'not-assessable': '.',
}

/** A number as the sentence prints it, read back. */
function read(text: string | undefined): number {
  return Number(String(text).replaceAll(',', '').replace('−', '-'))
}

const number = '([+−]?[\\d.]+)'

/** What a sentence says, held against the figures of the judgement; within half a printed digit. */
function said(pattern: string, { sentence, judgement }: ClaimJudgement): readonly number[] {
  const whole = new RegExp(`^${BEGINNINGS[judgement]}${pattern}${ENDS[judgement]}$`).exec(sentence)
  expect(whole, sentence).not.toBeNull()
  return (whole ?? []).slice(1).map(read)
}

function expectFigures(got: readonly number[], wanted: readonly (number | null | undefined)[]): void {
  expect(got).toHaveLength(wanted.length)
  got.forEach((value, i) => {
    expect(Math.abs(value - (wanted[i] ?? Number.NaN))).toBeLessThanOrEqual(0.051)
  })
}

describe.each<readonly [Kind, Unit, string]>([
  ['everywhere', '%', 'At least 0.5 % more wheel power at every speed from 5,000 to 10,000 rpm.'],
  ['everywhere', 'kW', 'At least 0.2 kW more wheel power at every speed from 5,000 to 10,000 rpm.'],
  ['no-loss', '%', 'No loss of wheel power beyond 0.5 % from 5,000 to 10,000 rpm.'],
  ['no-loss', 'kW', 'No loss of wheel power beyond 0.2 kW from 5,000 to 10,000 rpm.'],
])('%s in %s', (kind, unit, statement) => {
  const size = {
    everywhere: { '%': [0.5, 6, 3], kW: [0.2, 2.4, 1.2] },
    'no-loss': { '%': [-0.5], kW: [-0.2] },
  } as const
  /** Claimed value and floor of the gain that make each judgement. */
  const cases: readonly (readonly [Judgement, number, number])[] =
    kind === 'everywhere'
      ? (['supported', 'contradicted', 'undecided'] as const).map((each, i) => [each, size.everywhere[unit][i] ?? 0, 3])
      : [
          ['supported', size['no-loss'][unit][0], 3],
          ['contradicted', size['no-loss'][unit][0], -4],
          ['undecided', size['no-loss'][unit][0], -0.6],
        ]

  test.each(cases)('%s: the smallest gain with its speed and its band', async (judgement, value, floor) => {
    const claim = await judged(claimOf(kind, value, unit), floor)
    expect(claim.judgement).toBe(judgement)
    if (judgement === 'supported') expect(claim.statement).toBe(statement)
    const pattern = `the smallest gain is ${number} ${unit} at ([\\d,]+) rpm \\(95 % band ${number} to ${number} ${unit}\\)`
    expectFigures(said(pattern, claim), [
      claim.smallest?.value,
      claim.smallest?.at_rpm,
      claim.interval.low,
      claim.interval.high,
    ])
  })
})

describe.each<readonly [Unit, readonly [number, number, number]]>([
  ['%', [3, 12, 7]],
  ['kW', [1.8, 7.2, 4.2]],
])('up to, in %s', (unit, [supported, contradicted, undecided]) => {
  const mean = `the mean over the range is ${number} ${unit} \\(95 % interval ${number} to ${number} ${unit}\\) and the smallest gain ${number} ${unit} at ([\\d,]+) rpm`

  test.each([
    ['supported', supported],
    ['contradicted', contradicted],
    ['undecided', undecided],
  ] as const)('%s: never without the mean and the smallest gain of the range', async (judgement, value) => {
    const claim = await judged(claimOf('anywhere', value, unit))
    expect(claim.judgement).toBe(judgement)
    expect(claim.statement).toBe(`Up to ${value} ${unit} more wheel power from 5,000 to 10,000 rpm.`)
    const largest = `the largest gain is ${number} ${unit} at ([\\d,]+) rpm \\(95 % band ${number} to ${number} ${unit}\\)`
    expectFigures(said(`${largest}; ${mean}`, claim), [
      claim.largest?.value,
      claim.largest?.at_rpm,
      claim.interval.low,
      claim.interval.high,
      claim.bandMean?.estimate,
      claim.bandMean?.low,
      claim.bandMean?.high,
      claim.smallest?.value,
      claim.smallest?.at_rpm,
    ])
  })

  test('conditional on assumed values: neither', async () => {
    const { conditional, judgement } = await judged(claimOf('anywhere', supported, unit), 3, {
      design: 'A|B',
      disclosure: noDisclosure,
    })
    expect(judgement).toBe('undecided')
    expect(conditional?.sentence).toMatch(new RegExp(`the largest gain is ${number} ${unit} .+; ${mean}`))
  })
})
