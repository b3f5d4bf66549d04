import { describe, test } from 'vitest'
import { enhancementFactor_1, saturationVapourPressure_Pa } from '../../packages/sdk/src/engine/physics/air.ts'
import { expectPublished, inputOf, printedWithin, publishedAll, titleOf } from '../support/published.ts'

// Two formulas that the engine does not use, each held against the one it does. This tests the formula and its stated
// uncertainty, not the code: the three published formulas agree to 0.35 %.
const otherFormula = printedWithin(0.0035, 'another published formula; the formulas agree to 0.35 %')

describe('water vapour by IAPWS-IF97, eq. 30', () => {
  for (const check of publishedAll('hum-iapws-')) {
    test(titleOf(check), () => {
      expectPublished(check, saturationVapourPressure_Pa(inputOf(check, 'T_K')), { tolerance: otherFormula })
    })
  }
})

describe('water vapour in air by Buck (1981)', () => {
  for (const check of publishedAll('hum-buck-')) {
    test(titleOf(check), () => {
      const pure_Pa = saturationVapourPressure_Pa(inputOf(check, 't_C') + 273.15)
      const moist_hPa = (enhancementFactor_1(inputOf(check, 'p_hPa') * 100) * pure_Pa) / 100
      expectPublished(check, moist_hPa, { tolerance: otherFormula })
    })
  }
})
