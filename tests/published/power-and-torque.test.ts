import { describe, test } from 'vitest'
import { power_W, torque_N_m } from '../../packages/sdk/src/engine/physics/power.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('power = torque x angular speed', () => {
  for (const check of publishedAll('pow-')) {
    test(titleOf(check), () => {
      const power = power_W(inputOf(check, 'T_Nm'), convert(inputOf(check, 'rpm'), 'rpm', 'rad/s'))
      expectPublished(check, convert(power, 'W', 'kW'), { member: 'kW' })
      expectPublished(check, convert(power, 'W', 'hp'), { member: 'hp' })
      expectPublished(check, convert(power, 'W', 'PS'), { member: 'PS' })
    })
  }

  for (const check of publishedAll('tor-')) {
    test(titleOf(check), () => {
      const power = convert(inputOf(check, 'hp'), 'hp', 'W')
      const torque = torque_N_m(power, convert(inputOf(check, 'rpm'), 'rpm', 'rad/s'))
      expectPublished(check, convert(torque, 'N m', 'lbf ft'))
    })
  }
})
