import { describe, test } from 'vitest'
import { fisherF } from '../../packages/sdk/src/engine/numerics/fisher-f.ts'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import { repeatabilityOf } from '../../packages/sdk/src/engine/statistics/repeatability.ts'
import { describeExternal, externalText } from '../support/external-vectors.ts'
import {
  expectPublished,
  inputOf,
  type PublishedCheck,
  published,
  testPublished,
  titleOf,
} from '../support/published.ts'
import { oneWayOf, sampleOf } from '../support/samples.ts'

const glucoseFile = 'references/data/glucose.csv'

/** Values and laboratories of one material. */
function glucose(material: string): { readonly values: readonly number[]; readonly laboratories: readonly string[] } {
  const rows = externalText(glucoseFile)
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => row.replaceAll('"', '').split(','))
    .filter((row) => row[2] === material)
  return { values: rows.map((row) => Number(row[0])), laboratories: rows.map((row) => String(row[3])) }
}

/** E691: repeatability from within the laboratories, reproducibility from between them, never below it; limits 2.8 s. */
function precision(material: string) {
  const { values, laboratories } = glucose(material)
  const { means, count, groups, withinSquares } = oneWayOf(values, laboratories)
  const perLaboratory = count / groups
  const repeatability = repeatabilityOf({
    sumOfSquares: withinSquares,
    dofWithin: count - groups,
    priorVariance: 0,
    priorDof: 0,
    resolutionVariance: 0,
  })
  const { mean, variance } = sampleOf(means)
  const within = repeatability.variance ?? Number.NaN
  const sr = Math.sqrt(within)
  const sR = Math.max(sr, Math.sqrt(variance + (within * (perLaboratory - 1)) / perLaboratory))
  return { mean, sx: Math.sqrt(variance), sr, sR, r: 2.8 * sr, R: 2.8 * sR }
}

function expectPrecision(check: PublishedCheck) {
  const found = precision(String(check.inputs.material))
  for (const member of Object.keys(check.expected as object) as (keyof typeof found)[]) {
    expectPublished(check, found[member], { member })
  }
}

describeExternal('ASTM E691 glucose, CRAN package ILS', glucoseFile, () => {
  for (const material of ['A', 'D', 'E']) {
    testPublished(`e691-${material}`, expectPrecision)
    testPublished(`e691-${material}-derived`, expectPrecision)
  }

  // The carried copy of B and C differs from the standard's printed rows: these two test the arithmetic alone.
  for (const material of ['B', 'C']) testPublished(`e691-${material}`, expectPrecision)
})

describe('ASTM E691, critical values at 8 laboratories of 3', () => {
  const [p, n] = [8, 3]

  test(titleOf(published('e691-crit-k')), () => {
    const F = fisherF.quantile(1 - 0.005, n - 1, (p - 1) * (n - 1))
    expectPublished('e691-crit-k', Math.sqrt(p / (1 + (p - 1) / F)))
  })

  test(titleOf(published('e691-crit-h')), () => {
    const t = studentT.quantile(1 - 0.005 / 2, p - 2)
    expectPublished('e691-crit-h', ((p - 1) * t) / Math.sqrt(p * (t ** 2 + p - 2)))
  })

  testPublished('e691-crit-cochran', (check) => {
    const F = fisherF.quantile(1 - 0.05 / p, inputOf(check, 'n') - 1, (p - 1) * (n - 1))
    expectPublished(check, 1 / (1 + (p - 1) / F))
  })
})
