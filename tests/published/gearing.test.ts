import { describe, test } from 'vitest'
import { overallRatio_1, roadSpeed_m_per_s } from '../../packages/sdk/src/engine/physics/gear.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('road speed through the gearing', () => {
  for (const check of publishedAll('gear-')) {
    test(titleOf(check), () => {
      const gearing = {
        primary: inputOf(check, 'primary'),
        gears: [inputOf(check, 'gear')],
        final: inputOf(check, 'final'),
      }
      const engineSpeed = convert(inputOf(check, 'rpm'), 'rpm', 'rad/s')
      const speed = roadSpeed_m_per_s(engineSpeed, overallRatio_1(gearing, 1), inputOf(check, 'circ_m'))
      expectPublished(check, convert(speed, 'm/s', 'km/h'))
    })
  }
})
