/** What must hold of the scalar method whatever the numbers are. */
import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { SideIndex } from '../../packages/sdk/src/engine/statistics/cells.ts'
import type { ScalarFit } from '../../packages/sdk/src/engine/statistics/scalar-fit.ts'
import type { ScalarInput } from '../../packages/sdk/src/engine/statistics/scalar-input.ts'
import { scalarInterval } from '../../packages/sdk/src/engine/statistics/scalar-interval.ts'

/** Two to five runs a side in one mounting, at about 100, scatter within 1 %. */
const sessions = fc
  .record({
    baseline: fc.array(fc.double({ min: 99, max: 101, noNaN: true }), { minLength: 2, maxLength: 5 }),
    modified: fc.array(fc.double({ min: 101, max: 104, noNaN: true }), { minLength: 2, maxLength: 5 }),
  })
  .map(({ baseline, modified }) => inputOf([...baseline, ...modified], baseline.length))

function inputOf(values: readonly number[], baselineRuns: number): ScalarInput {
  return {
    values: Float64Array.from(values),
    sides: values.map((_, i): SideIndex => (i < baselineRuns ? 0 : 1)),
    mountings: values.map(() => 'm1'),
    t: Float64Array.from(values, (_, i) => i),
    factors: values.map(() => 1),
    days: null,
    record: null,
    width_rpm: 4000,
    isRelative: false,
    hasWarmUpTerm: false,
    isOrderKnown: true,
  }
}

function fitted(input: ScalarInput): ScalarFit {
  const outcome = scalarInterval(input)
  if (!outcome.ok) throw new Error(outcome.reason)
  return outcome.fit
}

/** Runs without any scatter have no interval; then neither may have one. */
function near(got: number | undefined, want: number | undefined, scale = 1): void {
  if (got === undefined || want === undefined) expect(got).toBe(want)
  else expect(Math.abs(got - want)).toBeLessThan(1e-7 * Math.max(1, Math.abs(scale)))
}

/** Turned over or scaled, where it is a number. */
const times = (value: number | undefined, factor: number) => (value === undefined ? undefined : value * factor)

describe('the scalar interval', () => {
  test('swapping the sides flips the sign and the ends', () => {
    fc.assert(
      fc.property(sessions, (input) => {
        const straight = fitted(input)
        const swapped = fitted({ ...input, sides: input.sides.map((side): SideIndex => (side === 0 ? 1 : 0)) })
        near(swapped.estimate, -straight.estimate)
        near(swapped.interval?.low, times(straight.interval?.high, -1))
      }),
    )
  })

  test('another unit scales estimate and ends alike', () => {
    fc.assert(
      fc.property(sessions, fc.double({ min: 0.01, max: 1000, noNaN: true }), (input, factor) => {
        const [one, other] = [fitted(input), fitted({ ...input, values: input.values.map((value) => value * factor) })]
        near(other.estimate / factor, one.estimate)
        near(times(other.interval?.low, 1 / factor), one.interval?.low)
      }),
    )
  })

  test('the names of mountings do not matter', () => {
    fc.assert(
      fc.property(sessions, fc.string({ minLength: 1 }), (input, name) => {
        const renamed = fitted({ ...input, mountings: input.mountings.map(() => name) })
        expect(renamed.interval).toEqual(fitted(input).interval)
      }),
    )
  })

  test('a constant added to every run cancels in the absolute estimate', () => {
    fc.assert(
      fc.property(sessions, fc.double({ min: 0, max: 100, noNaN: true }), (input, constant) => {
        const shifted = fitted({ ...input, values: input.values.map((value) => value + constant) })
        // The level enters the weights; whatever they are, they sum to 0, and a constant cancels.
        const sum = shifted.weights.reduce((total, weight) => total + weight, 0)
        near(sum, 0)
        near(
          shifted.estimate,
          shifted.weights.reduce((total, weight, i) => total + weight * (input.values[i] ?? 0), 0),
        )
      }),
    )
  })

  test('the interval holds its estimate in the middle', () => {
    fc.assert(
      fc.property(sessions, (input) => {
        const { estimate, interval } = fitted(input)
        if (interval !== null) near((interval.low + interval.high) / 2, estimate)
      }),
    )
  })
})
