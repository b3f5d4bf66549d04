import type { Evidence } from '../../evidence/evidence.ts'
import { sessionDrift } from '../../statistics/detectors/session-drift.ts'
import { type Check, notEvidenced, observation } from '../check.ts'

/** p below which a trend counts. [1] Source: measurement-model §3.1 and §8. */
const DRIFT_P = 0.01

/**
 * No trend from run to run within the mountings, beyond what chance makes of it at the 1 % level.
 *
 * Looked at twice: in the headline figure, as its interval does, and in the mean power over the whole common range; the
 * smaller p counts. `met` without a trend; `marginal` where one side comes first: two drift models are then analysed and the
 * less favourable counts; `breached`, as a note, where the sides bracket each other, since the contrast then takes the drift
 * out; `not-evidenced` where the runs allow no test.
 * Basis: measurement-model §3.1, §7 and §8.
 */
export const driftFree: Check = {
  name: 'drift-free',
  compares: 'trend of the headline figure and of the mean power within mountings',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence) => {
    const { session, headline } = evidence
    const runs = session.used.map(({ id }) => id)
    const ps = [headline?.fit.drift.p ?? null, overallP(evidence)].flatMap((p) => p ?? [])
    if (headline === null || ps.length === 0) {
      return notEvidenced({
        sentence: 'There are too few runs of one side in one mounting to see a trend.',
        remedy: 'Make two or more measured runs of each side within a mounting, and record their order.',
        runs,
        evidence: 'repeat',
      })
    }
    const { drift, isBracketed } = headline.fit
    const p = Math.min(...ps)
    const perRun = `${(100 * drift.slope).toFixed(2)} % per run`
    if (!drift.isDetected && !(p < DRIFT_P)) {
      return observation('met', {
        observed: p,
        limit: DRIFT_P,
        unit: 'p',
        sentence: `No trend is seen (${perRun}, not beyond chance).`,
      })
    }
    return observation(isBracketed ? 'breached' : 'marginal', {
      observed: p,
      limit: DRIFT_P,
      unit: 'p',
      runs,
      sentence: isBracketed
        ? `Power drifts by ${perRun}; the order of the runs takes it out of the gain.`
        : drift.isDetected
          ? `Power drifts by ${perRun} and one side comes first: two drift models were analysed.`
          : 'Mean power over the whole range drifts and one side comes first; the headline figure shows no trend.',
      remedy: 'Let the machine settle with conditioning runs, keep equal pauses, and alternate the sides.',
      severity: isBracketed ? 'note' : null,
    })
  },
}

/** p of a trend of the mean power over the common range; null where the runs allow no test. */
function overallP({ compared, models, session }: Evidence): number | null {
  if (compared === null || session.orderBasis === 'side-blocks') return null
  return sessionDrift(compared.curves, models.session, compared.scale)?.observed ?? null
}
