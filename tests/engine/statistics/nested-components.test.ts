/** Components of variance: by hand, against the likelihood of full covariance matrices, and back from simulated studies. */
import { describe, expect, test } from 'vitest'
import { nestedComponents } from '../../../packages/sdk/src/engine/statistics/nested-components.ts'
import { nestedFigures } from '../../../packages/sdk/src/engine/statistics/nested-figures.ts'
import { type NestedRuns, nestedLayout } from '../../../packages/sdk/src/engine/statistics/nested-layout.ts'
import { type NestedVariances, nestedReml } from '../../../packages/sdk/src/engine/statistics/nested-reml.ts'
import { createRandom } from '../../../packages/sdk/src/testing/random.ts'
import { restrictedDeviance } from '../../support/restricted-deviance.ts'

/** `[day][mounting]` = number of runs, drawn with the given standard deviations. */
function drawn(sizes: readonly (readonly number[])[], sds: NestedVariances, seed: number): NestedRuns {
  const { normal } = createRandom(seed)
  const runs = sizes.flatMap((mountings, day) => {
    const ofDay = sds.day * normal()
    return mountings.flatMap((size, mounting) => {
      const ofMounting = ofDay + sds.mounting * normal()
      return Array.from({ length: size }, () => ({
        ...{ value: ofMounting + sds.repeatability * normal(), mounting: `${day}/${mounting}`, day: `${day}` },
      }))
    })
  })
  return {
    values: Float64Array.from(runs, ({ value }) => value),
    mountings: runs.map(({ mounting }) => mounting),
    days: runs.map(({ day }) => day),
  }
}

const UNBALANCED = [[2, 3], [3, 1, 2], [4], [2, 2, 2]]

describe('nested analysis of variance', () => {
  test('two days of two mountings of two runs, by hand', () => {
    // Means 1, 3 | 7, 5; each ±1. MS_r = 8/4 = 2. Days 2 and 6: MS_m = 2·(1 + 1 + 1 + 1)/2 = 4, MS_d = 4·(4 + 4)/1 = 32.
    const layout = nestedLayout({
      values: Float64Array.from([0, 2, 2, 4, 6, 8, 4, 6]),
      mountings: ['a', 'a', 'b', 'b', 'c', 'c', 'd', 'd'],
      days: ['1', '1', '1', '1', '2', '2', '2', '2'],
    })
    expect(nestedComponents(layout)).toEqual({
      analysis: 'nested-anova',
      components: [
        { source: 'repeatability', variance: 2, dof: 4 },
        { source: 'mounting', variance: 1, dof: 2 },
        { source: 'day', variance: 7, dof: 1 },
      ],
    })
    // raw_m = 4/2 = 2: less v_r/2 = 1 is 1, the half of it. raw_d = 8: less raw_m/2 = 1 is 7.
    const figures = nestedFigures(layout, 2)
    expect(figures.mount).toEqual({ relSd: 1, dof: 2 })
    expect(figures.day.relSd).toBeCloseTo(Math.sqrt(7), 14)
    expect(figures.day.dof).toBe(1)
  })

  test('a mounting a day: the days are found between the mountings', () => {
    const layout = nestedLayout({
      values: Float64Array.from([0, 2, 2, 4, 6, 8]),
      mountings: ['a', 'a', 'b', 'b', 'c', 'c'],
      days: ['1', '1', '2', '2', '3', '3'],
    })
    expect(layout.isDayInMounting).toBe(true)
    expect(nestedComponents(layout)?.components.map(({ source, dof }) => ({ source, dof }))).toEqual([
      { source: 'repeatability', dof: 3 },
      { source: 'mounting', dof: 2 },
    ])
  })

  test.each([
    ['one run a mounting', [[1, 1, 1, 1]]],
    ['one mounting', [[5]]],
    ['nothing', [[]]],
  ])('%s: nothing can be told apart', (_, sizes) => {
    expect(nestedComponents(nestedLayout(drawn(sizes, { repeatability: 1, mounting: 1, day: 0 }, 1)))).toBeNull()
  })

  test('runs that do not scatter at all are no evidence', () => {
    const layout = nestedLayout({ values: new Float64Array(6).fill(4), mountings: [...'aabbcc'], days: null })
    expect(nestedComponents(layout)).toBeNull()
  })
})

describe('restricted maximum likelihood', () => {
  test('of a balanced study is its analysis of variance, where no component is negative', () => {
    const layout = nestedLayout(
      drawn(
        [
          [3, 3],
          [3, 3],
          [3, 3],
        ],
        { repeatability: 1, mounting: 3, day: 6 },
        7,
      ),
    )
    const anova = nestedComponents(layout)
    const reml = nestedReml(layout)
    expect(anova?.components.every(({ variance }) => variance > 0)).toBe(true)
    for (const { source, variance } of anova?.components ?? []) expect(reml[source] / variance).toBeCloseTo(1, 6)
  })

  test.each([1, 2, 3, 4, 5, 6])('lies lowest on the likelihood of the full covariance matrix, study %d', (seed) => {
    const runs = drawn(UNBALANCED, { repeatability: 1, mounting: 1.5, day: 1 }, seed)
    expect(nestedComponents(nestedLayout(runs))?.analysis).toBe('reml')
    const best = nestedReml(nestedLayout(runs))
    const least = restrictedDeviance(runs, best)
    for (const source of ['repeatability', 'mounting', 'day'] as const) {
      for (const step of [-0.02, 0.02]) {
        const moved = Math.max(0, best[source] + step * (best[source] + 0.1))
        expect(restrictedDeviance(runs, { ...best, [source]: moved })).toBeGreaterThanOrEqual(least - 1e-9)
      }
    }
  })

  test('one floor: days that are not told apart have no component', () => {
    const layout = nestedLayout({
      ...drawn([[2, 3, 4, 1, 2]], { repeatability: 1, mounting: 2, day: 0 }, 3),
      days: null,
    })
    expect(nestedReml(layout).day).toBe(0)
    expect(nestedComponents(layout)?.components.map(({ source }) => source)).toEqual(['repeatability', 'mounting'])
  })

  test('gets back the sizes that unbalanced studies were drawn with', () => {
    const sizes = Array.from({ length: 10 }, (_, day) => (day % 2 === 0 ? [2, 3, 1] : [4, 2]))
    const drawnWith = { repeatability: 1, mounting: 2, day: 3 }
    const found = Array.from({ length: 40 }, (_, seed) => nestedReml(nestedLayout(drawn(sizes, drawnWith, seed + 100))))
    const mean = (source: keyof NestedVariances) => found.reduce((sum, each) => sum + each[source], 0) / found.length
    // Standard errors of the mean of 40: 0.06 of 1, 0.26 of 4, 0.8 of 9; three of them either way.
    expect(Math.abs(mean('repeatability') - 1)).toBeLessThan(0.18)
    expect(Math.abs(mean('mounting') - 4)).toBeLessThan(0.8)
    expect(Math.abs(mean('day') - 9)).toBeLessThan(2.4)
  })
})
