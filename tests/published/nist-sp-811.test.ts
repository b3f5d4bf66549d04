import { describe, expect, test } from 'vitest'
import type { UnitOf } from '../../packages/sdk/src/contract/units.ts'
import { power_W } from '../../packages/sdk/src/engine/physics/power.ts'
import { convert, type KindOf } from '../../packages/sdk/src/engine/physics/units.ts'
import { expectPublished, frozen, printedWithin, published, testPublished, titleOf } from '../support/published.ts'

const asTheSourceAsks = printedWithin(1e-9, 'as the source asks; the conventional columns are printed to 12 digits')

function testUnit<U extends UnitOf>(id: string, value: number, from: U, to: UnitOf<KindOf<U>>): void {
  test(titleOf(published(id)), () => expectPublished(id, convert(value, from, to), { tolerance: asTheSourceAsks }))
}

describe('NIST SP 811, appendix B.8, and GNU units', () => {
  testUnit('unit-1', 1, 'hp', 'W')
  testUnit('unit-2', 1, 'PS', 'W')
  testUnit('unit-3', 1, 'lbf ft', 'N m')
  testUnit('unit-4', 1, 'psi', 'Pa')
  testUnit('unit-5', 1, 'bar', 'Pa')
  testUnit('unit-6', 1, 'inHg', 'Pa')
  testUnit('unit-9', 1, 'mmHg', 'Pa')
  testUnit('unit-11', 1, 'lbf', 'N')
  testUnit('unit-12', 1, 'kgf', 'N')
  testUnit('unit-13', 1, 'mph', 'm/s')
  testUnit('unit-15', 1, 'lb', 'kg')
  testUnit('unit-16', 1, 'kW', 'hp')
  testUnit('unit-17', 1, 'hp', 'PS')
  testUnit('unit-22', 77, 'degF', 'degC')
  testUnit('unit-23', 29.235, 'inHg', 'kPa')

  test('the inch of mercury is neither that at 32 °F nor that at 60 °F (SP 811: 3386.38 and 3376.85 Pa)', () => {
    expect(convert(1, 'inHg', 'Pa')).not.toBeCloseTo(3386.38, 3)
    expect(convert(1, 'inHg', 'Pa')).not.toBeCloseTo(3376.85, 3)
  })
})

describe('engine speed at which power and torque have the same figure', () => {
  const crossing_rpm = (power: UnitOf<'power'>, torque: UnitOf<'torque'>): number => {
    const speed_rad_per_s = convert(1, power, 'W') / power_W(convert(1, torque, 'N m'), 1)
    return convert(speed_rad_per_s, 'rad/s', 'rpm')
  }

  for (const [id, power, torque] of [
    ['unit-18', 'hp', 'lbf ft'],
    ['unit-19', 'kW', 'N m'],
    ['unit-20', 'PS', 'kgf m'],
    ['unit-21', 'PS', 'N m'],
  ] as const) {
    testPublished(id, (check) => expectPublished(check, crossing_rpm(power, torque), { tolerance: frozen }))
  }
})
