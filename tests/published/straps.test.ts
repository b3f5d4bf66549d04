import { describe, test } from 'vitest'
import { totalVerticalStrapForce_N, verticalStrapForce_N } from '../../packages/sdk/src/engine/physics/straps.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('vertical pull of straps', () => {
  for (const check of publishedAll('strap-').filter(({ inputs }) => 'T_N' in inputs)) {
    test(titleOf(check), () => {
      const pull = { tension_N: inputOf(check, 'T_N'), angle_rad: convert(inputOf(check, 'alpha_deg'), 'deg', 'rad') }
      expectPublished(check, verticalStrapForce_N(pull.tension_N, pull.angle_rad), { member: 'F1' })
      expectPublished(check, totalVerticalStrapForce_N([pull, pull, pull, pull]), { member: 'F4' })
    })
  }
})
