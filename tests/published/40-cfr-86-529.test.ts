import { describe, expect, test } from 'vitest'
import { coastDownTime_s, resistance_N } from '../../packages/sdk/src/engine/physics/coast-down.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import {
  expectedNumber,
  expectPublished,
  inputOf,
  type PublishedCheck,
  printed,
  printedWithin,
  published,
  publishedAll,
  titleOf,
} from '../support/published.ts'

/** The table gives C for a speed in km/h. */
const resistanceOf = (check: PublishedCheck, constant: string, quadratic: string) => ({
  constant_N: inputOf(check, constant),
  quadratic_N_s2_per_m2: inputOf(check, quadratic) * 3.6 ** 2,
})

const time_s = (equivalentMass_kg: number, resistance: ReturnType<typeof resistanceOf>): number =>
  coastDownTime_s({
    equivalentMass_kg,
    resistance,
    from_m_per_s: convert(70, 'km/h', 'm/s'),
    to_m_per_s: convert(60, 'km/h', 'm/s'),
  })

const rows = publishedAll('cfr-')
const timeOf = (check: PublishedCheck) => time_s(inputOf(check, 'm_eq_kg'), resistanceOf(check, 'A_N', 'C_N_per_kmh2'))

describe('40 CFR 86.529-98, figure F98-9: road load of motorcycles', () => {
  for (const check of rows) {
    test(titleOf(check, `${inputOf(check, 'm_eq_kg')} kg, force at 65 km/h`), () => {
      const force = resistance_N(resistanceOf(check, 'A_N', 'C_N_per_kmh2'), convert(65, 'km/h', 'm/s'))
      expectPublished(check, force, { member: 'F65_N', tolerance: printed(0.3) }) // C is printed to 3 digits
    })
  }

  for (const check of rows.filter(({ id }) => id !== 'cfr-160')) {
    test(titleOf(check, `${inputOf(check, 'm_eq_kg')} kg, coast-down from 70 to 60 km/h`), () => {
      const toThePrintedDigits = printedWithin(0.004, 'A, C and the time are printed to 3 digits')
      expectPublished(check, timeOf(check), { member: 't_s', tolerance: toThePrintedDigits })
    })
  }

  test('the row of 160 kg alone disagrees with its own forces: 4.10 s printed, 4.175 s by the integral [FOUND]', () => {
    const check = published('cfr-160')
    expect(timeOf(check) / expectedNumber(check, 't_s') - 1).toBeCloseTo(0.018, 3)
  })

  test('every computed time lies between the shortest and the longest that the table allows', () => {
    for (const check of rows) {
      expect(timeOf(check), check.id).toBeGreaterThan(expectedNumber(check, 't_short'))
      expect(timeOf(check), check.id).toBeLessThan(expectedNumber(check, 't_long'))
    }
  })
})

describe('coast-down integral with the constants of the same table', () => {
  for (const check of publishedAll('coast-')) {
    test(titleOf(check), () => expectPublished(check, time_s(inputOf(check, 'm_kg'), resistanceOf(check, 'A', 'C'))))
  }
})
