import { describe, expect, test } from 'vitest'
import { analyse, corrections } from './kinds/analyse.ts'
import { checks } from './kinds/checks.ts'
import * as curves from './kinds/curves.ts'
import { detect } from './kinds/detect.ts'
import { scalar } from './kinds/scalar.ts'
import * as small from './kinds/small.ts'
import * as studies from './kinds/studies.ts'
import { factors } from './kinds/vapour-form.ts'
import { allVectors, expectVector } from './vector.ts'

/** How each kind of vector is put to the engine. */
const runners: Readonly<Record<string, (input: never) => unknown>> = {
  scalar,
  time_covariate: small.timeCovariate,
  one_sided_p: small.oneSided,
  h_band: small.hBand,
  t_quantile: small.tQuantile,
  fill_record: small.fill,
  analyse,
  corrections,
  condition: curves.condition,
  rice_c: curves.riceC,
  peak: curves.peak,
  band: curves.band,
  cf: factors,
  facility_prior: studies.prior,
  study: studies.study,
  detect,
  checks,
}

const vectors = allVectors()

describe('vectors of the statistical method', () => {
  test('all 84 are there', () => {
    expect(vectors.length).toBeGreaterThanOrEqual(84)
  })

  test.each(vectors.map((vector) => [vector.kind, vector.name, vector] as const))('%s: %s', (kind, _, vector) => {
    const runner = runners[kind]
    if (runner === undefined) throw new Error(`no runner for vectors of kind "${kind}"`)
    expectVector(runner(vector.input as never), vector.expected, vector.tol)
  })
})
