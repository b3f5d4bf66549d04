import fc from 'fast-check'
import { expect, test } from 'vitest'
import { median } from '../../../packages/sdk/src/engine/numerics/median.ts'

/** The same by sorting. */
function medianBySorting(values: readonly number[]): number {
  const sorted = new Float64Array(values).sort()
  const at = (place: number) => sorted[place] ?? Number.NaN
  return (at(Math.ceil(sorted.length / 2) - 1) + at(Math.floor(sorted.length / 2))) / 2
}

test('is what sorting finds, whatever the values', () => {
  const value = fc.oneof(
    fc.double({ min: -1e300, max: 1e300 }),
    fc.integer({ min: -3, max: 3 }),
    fc.constant(Number.NaN),
  )
  fc.assert(
    fc.property(fc.array(value, { maxLength: 60 }), (values) => {
      expect(median(values) + 0).toBe(medianBySorting(values) + 0)
    }),
    { numRuns: 2000, seed: 1 },
  )
})

test.each([
  ['rising', (at: number) => at],
  ['falling', (at: number) => -at],
  ['all equal', () => 7],
  ['two values in turn', (at: number) => at % 2],
  ['an organ pipe', (at: number) => Math.min(at, 5000 - at)],
  ['wide and alternating', (at: number) => (at % 2 === 0 ? at : -at)],
])('of 5000 values in the order %s', (_order, valueAt) => {
  const values = Array.from({ length: 5000 }, (_, at) => valueAt(at))
  expect(median(values)).toBe(medianBySorting(values))
})

test('leaves its input as it is', () => {
  const values = [3, 1, 2]
  expect(median(values)).toBe(2)
  expect(values).toEqual([3, 1, 2])
})
