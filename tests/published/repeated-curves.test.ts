/**
 * Curves that nobody here measured, through the whole engine. R's data sets `whiteside` (package MASS: weekly gas use of a
 * house against outside temperature, before and after cavity walls were insulated) and `DNase` (package datasets: optical
 * density of an assay against concentration, eleven runs). Neither is a dyno; both are what a comparison is made of:
 * repeated curves over a common axis, one before/after pair with a known effect and one series in which nothing changed.
 *
 * The numbers expected of the engine are regression values, computed by it once; those of the sources stand beside them.
 */
import { expect, test } from 'vitest'
import type { Claim, Result, Run } from '../../packages/sdk/src/contract/index.ts'
import { readComparison } from '../../packages/sdk/src/contract/schemas.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { describeExternal, externalText } from '../support/external-vectors.ts'

const PROTOCOL = 'motorcycle-rollers@1'

/** One mounting: all runs of a data set come from one house, or one assay. */
const MOUNTING = 'm1'

interface Point {
  readonly axis_rpm: number
  readonly value: number
}

function run(id: string, side: Run['side'], points: readonly Point[]): Run {
  return {
    id,
    side,
    purpose: 'measured',
    mounting: MOUNTING,
    channels: {
      engineSpeed: { unit: 'rpm', values: points.map(({ axis_rpm }) => axis_rpm) },
      wheelPower: { unit: 'kW', values: points.map(({ value }) => value) },
    },
  }
}

function bandClaim(id: string, from: number, to: number, rest: Pick<Claim, 'relation' | 'gain'>): Claim {
  const over = { kind: 'band-mean', from: { value: from, unit: 'rpm' }, to: { value: to, unit: 'rpm' } } as const
  return { id, quantity: 'wheel-power', over, ...rest }
}

async function assessed(runs: readonly Run[], claims: readonly Claim[]): Promise<Result> {
  const read = readComparison({ protocol: PROTOCOL, mountings: [{ id: MOUNTING }], runs, claims })
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  return assess(read.comparison)
}

function rows(path: string): readonly (readonly string[])[] {
  const [, ...lines] = externalText(path).trim().split('\n')
  return lines.map((line) => line.replaceAll('"', '').split(','))
}

describeExternal('R whiteside: a house before and after insulation', 'references/data/whiteside.csv', () => {
  /** A degree to 100 rpm, colder weeks higher: they lie as close as the samples of a sweep, and use rises along the axis. */
  const axis = (temperature: number) => 5200 - 100 * temperature

  /** The weeks of one side in order of temperature, dealt out to three runs that all span the range. */
  function runsOf(label: string, side: Run['side'], prefix: string): readonly Run[] {
    const weeks = rows('references/data/whiteside.csv')
      .filter(([insulation]) => insulation === label)
      .map(([, temperature, gas]) => ({ axis_rpm: axis(Number(temperature)), value: Number(gas) }))
      .toSorted((one, other) => one.axis_rpm - other.axis_rpm || one.value - other.value)
    return [0, 1, 2].map((k) =>
      run(
        `${prefix}${k + 1}`,
        side,
        weeks.filter((_, week) => week % 3 === k),
      ),
    )
  }

  const result = () =>
    assessed(
      [...runsOf('Before', 'baseline', 'b'), ...runsOf('After', 'modified', 'm')],
      [
        bandClaim('saves', axis(6), axis(2), { relation: 'at-most', gain: { value: -1, unit: 'kW' } }),
        bandClaim('saves little', axis(6), axis(2), { relation: 'at-least', gain: { value: -1, unit: 'kW' } }),
        bandClaim('saves more', axis(6), axis(2), { relation: 'at-most', gain: { value: -1.6, unit: 'kW' } }),
      ],
    )

  test('the interval covers the difference that a regression on all weeks gives', async () => {
    const [claim] = (await result()).claims
    // R: lm(Gas ~ Insul * Temp), the difference at 4 °C, the middle of the band: -1.668763, standard error 0.092330.
    expect(claim?.interval.low).toBeLessThan(-1.668763)
    expect(claim?.interval.high).toBeGreaterThan(-1.668763)
    expect(claim?.interval).toMatchObject({ estimate: -1.90424, low: -2.36205, high: -1.44643 })
  })

  test('insulation is supported, its opposite contradicted, and more than the weeks can show left undecided', async () => {
    const { standing, claims } = await result()
    expect(claims.map(({ judgement }) => judgement)).toEqual(['supported', 'contradicted', 'undecided'])
    expect(standing, 'nothing is known of the set-up').toBe('limited')
  })
})

describeExternal('R DNase: eleven runs of one assay', 'references/data/dnase.csv', () => {
  /** Eight concentrations over eight doublings: a doubling to 150 rpm. */
  const axis = (concentration: number) => 3000 + 150 * Math.round(Math.log2(concentration / 0.04882812))

  /** Alternate runs called baseline and modified, though nothing was modified. */
  const result = () => {
    const all = rows('references/data/dnase.csv')
    const numbers = [...new Set(all.map(([number]) => Number(number)))].toSorted((one, other) => one - other)
    const runs = numbers.map((number, place) => {
      const points = all
        .filter(([each]) => Number(each) === number)
        .map(([, concentration, density]) => ({ axis_rpm: axis(Number(concentration)), value: Number(density) }))
        .toSorted((one, other) => one.axis_rpm - other.axis_rpm)
      return { ...run(`r${number}`, place % 2 === 0 ? 'baseline' : 'modified', points), sequence: place + 1 }
    })
    expect(runs).toHaveLength(11)
    return assessed(runs, [
      bandClaim('gains', 3600, 4200, { relation: 'at-least', gain: { value: 2, unit: '%' } }),
      {
        id: 'unchanged',
        quantity: 'wheel-power',
        over: { kind: 'at-speed', speed: { value: 4200, unit: 'rpm' } },
        relation: 'equals-within',
        gain: { value: 0, unit: '%' },
        tolerance: { value: 10, unit: '%' },
      },
    ])
  }

  test('no gain is found where nothing was changed', async () => {
    const [gains, unchanged] = (await result()).claims
    expect(gains?.interval).toMatchObject({ estimate: 0.595722, low: -4.65893, high: 6.13998 })
    expect(gains?.judgement).toBe('undecided')
    expect(unchanged?.interval).toMatchObject({ estimate: 0.509993, low: -6.35614, high: 7.87957 })
    expect(unchanged?.judgement).toBe('supported')
  })

  test('runs that scatter by as much as these are said to', async () => {
    const { findings } = await result()
    expect(findings.find(({ check }) => check === 'repeatability')).toMatchObject({
      status: 'breached',
      observed: 3.91655,
    })
  })
})
