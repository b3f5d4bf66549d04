import type { GradedLimit, ProtocolCheck } from '../../../contract/protocol.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { ofSide } from '../../inputs/session.ts'
import { type Check, graded, limitOf, notEvidenced } from '../check.ts'
import { sideMeansOf } from '../side-means.ts'

/**
 * Both sides started their runs at the same engine temperature: side means of the coolant, else of the oil. [K]
 *
 * Coolant: `met` up to k √(1/n_A + 1/n_B), k = `limits.coolantPerRun.met`, or `limits.coolantSingleRun.met` where a side
 * has one run; `marginal` up to `limits.coolant.marginal`. Oil: `limits.oil`.
 * Basis: measurement-model §8, heat soak; oil: common practice, no source.
 */
export const engineTemperatureMatched: Check = {
  name: 'engine-temperature-matched',
  compares: 'side means of coolant, else oil, at run start',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence, rule) => {
    const { used } = evidence.session
    const coolant = sideMeansOf(used, ({ conditions }) => conditions.coolant_K)
    const oil = sideMeansOf(used, ({ conditions }) => conditions.oil_K)
    const isCoolant = coolant.missing.length === 0
    const means = isCoolant ? coolant : oil
    if (means.difference === null || means.missing.length > 0) {
      return notEvidenced({
        sentence: 'Engine temperature at run start was not read for every run.',
        remedy: 'Read the coolant or oil temperature at the start of every run.',
        runs: means.missing,
        evidence: 'repeat',
      })
    }
    const observed = Math.abs(means.difference)
    return graded({
      observed,
      limit: isCoolant ? coolantLimit(evidence, rule) : limitOf(rule, 'oil'),
      sentence: `Side means of the ${isCoolant ? 'coolant' : 'oil'} at run start differ by ${observed.toFixed(1)} K.`,
      remedy:
        'Start every run at one engine temperature: equal pauses, fewer runs per strapping on a machine that overheats.',
      runs: used.map(({ id }) => id),
    })
  },
}

function coolantLimit({ session }: Evidence, rule: ProtocolCheck): GradedLimit {
  const [baseline, modified] = [ofSide(session.used, 'baseline').length, ofSide(session.used, 'modified').length]
  const perRun = limitOf(rule, Math.min(baseline, modified) === 1 ? 'coolantSingleRun' : 'coolantPerRun')
  const wide = limitOf(rule, 'coolant')
  return {
    met: Math.min(perRun.met * Math.sqrt(1 / baseline + 1 / modified), wide.marginal),
    marginal: wide.marginal,
    unit: wide.unit,
  }
}
