import { describe, expect, test } from 'vitest'
import { bestOfShift } from '../../../packages/sdk/src/engine/statistics/best-of.ts'

describe('best of several', () => {
  // Closed forms: E max of two standard normals is 1/√π, of three 1.5/√π.
  test('two and three runs: the closed forms', () => {
    expect(bestOfShift(1)).toBeCloseTo(0, 10)
    expect(bestOfShift(2)).toBeCloseTo(1 / Math.sqrt(Math.PI), 9)
    expect(bestOfShift(3)).toBeCloseTo(1.5 / Math.sqrt(Math.PI), 9)
  })

  // Printed to two digits: 0.56, 0.85, 1.03, 1.16, 1.27 (from memory).
  test.each([
    [2, 0.56],
    [3, 0.85],
    [4, 1.03],
    [5, 1.16],
    [6, 1.27],
  ])('normal order statistics, best of %i', (k, printed) => {
    expect(Math.abs(bestOfShift(k) - printed)).toBeLessThanOrEqual(0.005)
  })
})
