/** Mistaken units leave ratios of their own. Ratios: NIST SP 811 appendix B.8 (1 hp = 745.6999 W, 1 lbf ft = 1.355818 N m). */
import { describe, expect, test } from 'vitest'
import { confusedSpeedUnit, confusedUnits } from '../../../packages/sdk/src/engine/physics/unit-confusion.ts'

describe('power against torque times angular speed', () => {
  test.each([
    [1 / 0.745_699_9, 'power in hp taken for kW'],
    [0.745_699_9, 'power in kW taken for hp'],
    [1 / 0.735_498_75, 'power in PS taken for kW'],
    [1 / 1.355_818, 'torque in N m taken for lbf ft'],
    [1.355_818, 'torque in lbf ft taken for N m'],
    [Math.PI / 30, 'engine speed in rpm taken for rad/s'],
    [1000, 'power in W taken for kW'],
  ])('a ratio of %f: %s', (ratio, words) => {
    expect(confusedUnits(ratio)).toBe(words)
  })

  test('two columns at once are named together', () => {
    expect(confusedUnits(1.355_818 / 0.745_699_9)).toContain('together with')
  })

  test.each([1, 1.004, 1.12, 0.9])('a ratio of %f is no mistaken unit', (ratio) => {
    expect(confusedUnits(ratio)).toBeNull()
  })
})

describe('engine speed over roller speed', () => {
  test.each([
    [1.609_344, 'roller speed in mph taken for km/h'],
    [1 / 1.609_344, 'roller speed in km/h taken for mph'],
    [3.6, 'roller speed in m/s taken for km/h'],
    [1 / 3.6, 'roller speed in km/h taken for m/s'],
  ])('a ratio of %f: %s', (ratio, words) => {
    expect(confusedSpeedUnit(ratio)).toBe(words)
  })

  test('slip of 5 % is no mistaken unit', () => {
    expect(confusedSpeedUnit(1.05)).toBeNull()
  })
})
