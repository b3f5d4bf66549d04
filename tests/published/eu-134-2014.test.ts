import { describe } from 'vitest'
import { eu134 } from '../../packages/sdk/src/engine/physics/correction/eu-134-2014.ts'
import { expectPublished, printed, testPublished } from '../support/published.ts'

describe('Regulation (EU) No 134/2014, annex X, appendix 2.2', () => {
  testPublished('atm-eu-pref', (check) => {
    expectPublished(check, eu134.reference.pressure_Pa / 1000, { member: 'dry_kPa', tolerance: printed(0) })
  })

  testPublished('atm-eu-Trange', (check) => {
    expectPublished(check, eu134.validity.temperature_K.lower, { member: 'lower_K', tolerance: printed(0) })
    expectPublished(check, eu134.validity.temperature_K.upper, { member: 'upper_K', tolerance: printed(0) })
  })
})
