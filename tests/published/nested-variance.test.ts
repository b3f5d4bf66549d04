import { describe } from 'vitest'
import { nestedComponents, type ScatterSource } from '../../packages/sdk/src/engine/statistics/nested-components.ts'
import { nestedLayout } from '../../packages/sdk/src/engine/statistics/nested-layout.ts'
import { nestedReml } from '../../packages/sdk/src/engine/statistics/nested-reml.ts'
import { expectPublished, testPublished } from '../support/published.ts'

/** Days of mountings of runs, as the engine lays them out. */
function layoutOf(days: readonly (readonly (readonly number[])[])[]) {
  const runs = days.flatMap((mountings, day) =>
    mountings.flatMap((values, mounting) => values.map((value) => ({ value, day, mounting }))),
  )
  return nestedLayout({
    values: Float64Array.from(runs, ({ value }) => value),
    mountings: runs.map(({ day, mounting }) => `${day}/${mounting}`),
    days: runs.map(({ day }) => String(day)),
  })
}

describe('components of variance of a balanced nested experiment', () => {
  testPublished('rail', (check) => {
    const layout = layoutOf([check.inputs.groups as number[][]])
    const found = nestedComponents(layout)
    const [within, between] = (found?.components ?? []).map(({ variance }) => variance)
    expectPublished(check, within ?? Number.NaN, { member: 'MSW' })
    expectPublished(check, 3 * (between ?? Number.NaN) + (within ?? Number.NaN), { member: 'MSB' })

    const reml = nestedReml(layout)
    expectPublished(check, Math.sqrt(reml.repeatability), { member: 'sw' })
    expectPublished(check, Math.sqrt(reml.mounting), { member: 'sb' })
  })

  testPublished('pastes', (check) => {
    const layout = layoutOf(check.inputs.groups as number[][][])
    const anova = nestedComponents(layout)?.components ?? []
    const reml = nestedReml(layout)
    const names = { repeatability: 'residual', mounting: 'cask', day: 'batch' } as const
    for (const source of Object.keys(names) as ScatterSource[]) {
      const sd = Math.sqrt(anova.find((each) => each.source === source)?.variance ?? Number.NaN)
      expectPublished(check, sd, { member: names[source] })
      expectPublished(check, Math.sqrt(reml[source]), { member: names[source] })
    }
  })
})
