import type { SessionCorrection } from '../../evidence/correction.ts'
import type { CorrectionRefusal } from '../../physics/correction/correction-factor.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * Factor, temperature and pressure of every run lie inside the range of the standard that is reported.
 *
 * `met` inside; `breached` outside, for an engine the standard is not written for, and where it gives no factor: test air is
 * printed, the figure is not to the standard, the relative gain stands.
 * Basis: the standard's own validity range.
 */
export const airWithinStandard: Check = {
  name: 'air-within-standard',
  compares: 'factor, temperature and pressure against the range of the standard reported',
  statuses: ['met', 'breached', 'not-evidenced', 'not-applicable'],
  isRunCheck: true,
  observe: ({ correction }) => {
    if (correction.wanted === 'none') {
      return observation('not-applicable', { sentence: 'Uncorrected figures are reported; no standard applies.' })
    }
    const none = refused(correction)
    if (none !== null) return none
    const unknown = correction.runs.filter(({ wanted }) => wanted === null)
    if (unknown.length > 0) {
      return notEvidenced({
        sentence: 'Pressure, temperature and humidity are not recorded for every run, so there is no factor.',
        remedy: 'Record station pressure, air temperature and relative humidity for every run.',
        runs: unknown.map(({ run }) => run.id),
        evidence: 'from-records',
      })
    }
    const outside = correction.runs.flatMap(({ run, wanted }) =>
      wanted?.kind === 'factor' ? wanted.left.map((bound) => ({ run, bound })) : [],
    )
    const [first] = outside
    if (first === undefined) {
      return observation('met', { sentence: 'The air of every run lies inside the range of the standard.' })
    }
    return observation('breached', {
      observed: first.bound.observed,
      limit: first.bound.limit,
      unit: first.bound.unit,
      runs: [...new Set(outside.map(({ run }) => run.id))],
      sentence: `The ${first.bound.quantity} is ${first.bound.side} the range of ${correction.wanted}.`,
      remedy: 'Measure in air inside the range, or report the figure as not to the standard, with the air of the test.',
    })
  },
}

const REFUSALS: Readonly<Record<CorrectionRefusal, Pick<Observation, 'sentence' | 'remedy'>>> = {
  'boost-compensated': {
    sentence:
      'The engine is boosted: its boost control may hold the charge whatever the air, and a correction would count the air twice. The figures stand uncorrected.',
    remedy: 'Report uncorrected figures, and measure both sides in the same air.',
  },
  'other-ignition': {
    sentence:
      'The standard is written for engines of the other kind of ignition, so it gives this one no factor. The figures stand uncorrected.',
    remedy:
      'Report uncorrected figures, or in a standard for this kind of engine, and measure both sides in the same air.',
  },
  'fuel-delivery-missing': {
    sentence:
      'The standard asks for the fuel delivery of the engine, which no run holds, so it gives no factor. The figures stand uncorrected.',
    remedy: 'Report uncorrected figures, and measure both sides in the same air.',
  },
}

/** No factor whatever the air. */
function refused({ runs }: SessionCorrection): Observation | null {
  const found = runs.flatMap(({ run, wanted }) => (wanted?.kind === 'refused' ? [{ run, reason: wanted.reason }] : []))
  const [first] = found
  if (first === undefined) return null
  return observation('breached', { ...REFUSALS[first.reason], runs: found.map(({ run }) => run.id) })
}
