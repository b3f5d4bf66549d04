import { defineProtocol, withLimits } from './define-protocol.ts'
import { motorcycleRollers1Definition } from './motorcycle-rollers-1.ts'

const COMMON_PRACTICE = 'common practice, no source'

/**
 * Before/after comparison of a car on a roller dynamometer: every check of `motorcycle-rollers@1`, with limits of its own
 * where two driven tyres, a heavier machine and a larger sump ask for them.
 */
export const carRollers1 = defineProtocol({
  id: 'car-rollers@1',
  title: 'Before/after comparison of a car on a roller dynamometer',
  assumed: motorcycleRollers1Definition.assumed,
  rows: withLimits(motorcycleRollers1Definition.rows, {
    'tyre-pressure-matched': {
      limits: { sideDifference: { met: 10, marginal: 20, unit: 'kPa' } },
      basis: COMMON_PRACTICE,
    },
    'strap-load-matched': {
      limits: {
        tension: { met: 15, marginal: 30, unit: '%' },
        suspensionLength: { met: 10, marginal: 20, unit: 'mm' },
      },
      basis: COMMON_PRACTICE,
    },
    'warmed-up': {
      limits: { coolant: { met: 75, marginal: 75, unit: 'degC' }, oil: { met: 70, marginal: 70, unit: 'degC' } },
      basis: COMMON_PRACTICE,
    },
    'cadence-matched': { limits: { ratio: { met: 1.5, marginal: 2.5, unit: '1' } }, basis: COMMON_PRACTICE },
  }),
})
