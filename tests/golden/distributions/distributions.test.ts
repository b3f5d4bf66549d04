import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { EngineError } from '../../../packages/sdk/src/engine/engine-error.ts'
import { beta } from '../../../packages/sdk/src/engine/numerics/beta.ts'
import { chiSquare } from '../../../packages/sdk/src/engine/numerics/chi-square.ts'
import { erf, erfc } from '../../../packages/sdk/src/engine/numerics/erf.ts'
import { fisherF } from '../../../packages/sdk/src/engine/numerics/fisher-f.ts'
import { digamma, logGamma, trigamma } from '../../../packages/sdk/src/engine/numerics/gamma.ts'
import { normal } from '../../../packages/sdk/src/engine/numerics/normal.ts'
import { studentT } from '../../../packages/sdk/src/engine/numerics/student-t.ts'

/** Values by mpmath with 30 digits; `make-tables.py` beside this file writes them. */
interface Tables {
  readonly studentT: readonly Case[]
  readonly fisherF: readonly Case[]
  readonly beta: readonly Case[]
  readonly chiSquare: readonly Case[]
  readonly normal: readonly Case[]
  readonly digamma: readonly Point[]
  readonly trigamma: readonly Point[]
  readonly logGamma: readonly Point[]
  readonly erf: readonly (Point & { readonly complement: number })[]
}

interface Case {
  readonly parameters: readonly number[]
  readonly tails: readonly { readonly x: number; readonly cdf: number; readonly sf: number }[]
  readonly quantiles: readonly { readonly p: number; readonly x: number }[]
}

interface Point {
  readonly x: number
  readonly value: number
}

const file = join(dirname(fileURLToPath(import.meta.url)), 'distributions.json')
const tables = JSON.parse(readFileSync(file, 'utf8')) as Tables

/** Relative accuracy asked of t, F and beta, and of the others with them. */
const TOLERANCE = 2e-11

function expectClose(got: number, want: number, what: string, tolerance = TOLERANCE): void {
  const miss = Math.abs(got - want)
  expect(miss <= tolerance * Math.abs(want), `${what}: got ${got}, want ${want}, off by ${miss / Math.abs(want)}`).toBe(
    true,
  )
}

interface Distribution {
  readonly cdf: (x: number, ...parameters: number[]) => number
  readonly sf: (x: number, ...parameters: number[]) => number
  readonly quantile: (p: number, ...parameters: number[]) => number
}

const distributions: readonly (readonly [keyof Tables, Distribution, readonly Case[]])[] = [
  ['studentT', studentT, tables.studentT],
  ['fisherF', fisherF as Distribution, tables.fisherF],
  ['beta', beta as Distribution, tables.beta],
  ['chiSquare', chiSquare, tables.chiSquare],
  ['normal', normal, tables.normal],
]

describe.each(distributions)('%s against 30-digit values', (name, distribution, cases) => {
  test('the table holds cases', () => {
    expect(cases.length).toBeGreaterThan(0)
    expect(cases.every(({ tails, quantiles }) => tails.length > 5 && quantiles.length > 10)).toBe(true)
  })

  test.each(cases.map((each) => [each.parameters.join(', '), each] as const))(
    '(%s): both tails',
    (parameters, { tails, parameters: given }) => {
      for (const { x, cdf, sf } of tails) {
        expectClose(distribution.cdf(x, ...given), cdf, `${name}(${parameters}) cdf(${x})`)
        expectClose(distribution.sf(x, ...given), sf, `${name}(${parameters}) sf(${x})`)
      }
    },
  )

  test.each(cases.map((each) => [each.parameters.join(', '), each] as const))(
    '(%s): quantiles',
    (parameters, { quantiles, parameters: given }) => {
      for (const { p, x } of quantiles)
        expectClose(distribution.quantile(p, ...given), x, `${name}(${parameters}) quantile(${p})`)
    },
  )
})

describe('special functions against 30-digit values', () => {
  test('digamma away from its zero', () => {
    for (const { x, value } of tables.digamma) expectClose(digamma(x), value, `digamma(${x})`, 1e-13)
  })

  test('trigamma', () => {
    for (const { x, value } of tables.trigamma) expectClose(trigamma(x), value, `trigamma(${x})`, 1e-13)
  })

  test('ln gamma', () => {
    for (const { x, value } of tables.logGamma) expectClose(logGamma(x), value, `logGamma(${x})`, 1e-13)
  })

  test('the error function and its complement, which keeps its digits far out', () => {
    for (const { x, value, complement } of tables.erf) {
      expectClose(erf(x), value, `erf(${x})`, 1e-15)
      expectClose(erfc(x), complement, `erfc(${x})`, 3e-15)
    }
  })
})

describe('ends and refusals', () => {
  test('a probability of 0 or 1 has its quantile at the end of the distribution', () => {
    expect([studentT.quantile(0, 3), studentT.quantile(1, 3)]).toEqual([
      Number.NEGATIVE_INFINITY,
      Number.POSITIVE_INFINITY,
    ])
    expect([fisherF.quantile(0, 3, 4), fisherF.quantile(1, 3, 4)]).toEqual([0, Number.POSITIVE_INFINITY])
    expect([beta.quantile(0, 3, 4), beta.quantile(1, 3, 4)]).toEqual([0, 1])
    expect([chiSquare.quantile(0, 3), chiSquare.quantile(1, 3)]).toEqual([0, Number.POSITIVE_INFINITY])
  })

  test('the median of t and of the normal distribution is exactly 0', () => {
    expect([studentT.quantile(0.5, 3), normal.quantile(0.5)]).toEqual([0, 0])
  })

  test('degrees of freedom that are not above 0 are refused by code', () => {
    for (const dof of [0, -1, Number.NaN]) {
      expect(() => studentT.cdf(1, dof)).toThrow(EngineError)
      expect(() => fisherF.cdf(1, dof, 3)).toThrow(EngineError)
      expect(() => chiSquare.cdf(1, dof)).toThrow(EngineError)
      expect(() => beta.cdf(0.5, dof, 3)).toThrow(EngineError)
    }
  })

  test('1e9 degrees of freedom follow the expansion about the normal distribution', () => {
    // t = z (1 + (z² + 1)/(4 ν)) with z = 1.959963984540054, the normal quantile of 0.975.
    const z = 1.959963984540054
    expectClose(studentT.quantile(0.975, 1e9), z * (1 + (z * z + 1) / 4e9), 'quantile', 1e-15)
  })
})
