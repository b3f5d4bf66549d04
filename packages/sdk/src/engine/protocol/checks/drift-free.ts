import { type Check, notEvidenced, observation } from '../check.ts'

/**
 * No trend from run to run within the mountings, beyond what chance makes of it at the 1 % level.
 *
 * `met` without one; `marginal` where one side comes first: two drift models are then analysed and the less favourable
 * counts; `breached`, as a note, where the sides bracket each other, since the contrast then takes the drift out;
 * `not-evidenced` where the runs allow no test.
 * Basis: measurement-model §3.1 and §7.
 */
export const driftFree: Check = {
  name: 'drift-free',
  compares: 'trend of the headline figure within mountings',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: ({ session, headline }) => {
    const runs = session.used.map(({ id }) => id)
    if (headline === null || headline.fit.drift.p === null) {
      return notEvidenced({
        sentence: 'There are too few runs of one side in one mounting to see a trend.',
        remedy: 'Make two or more measured runs of each side within a mounting, and record their order.',
        runs,
        evidence: 'repeat',
      })
    }
    const { drift, isBracketed } = headline.fit
    const perRun = `${(100 * drift.slope).toFixed(2)} % per run`
    if (!drift.isDetected) {
      return observation('met', {
        observed: drift.p,
        limit: 0.01,
        unit: 'p',
        sentence: `No trend is seen (${perRun}, not beyond chance).`,
      })
    }
    return observation(isBracketed ? 'breached' : 'marginal', {
      observed: drift.p,
      limit: 0.01,
      unit: 'p',
      runs,
      sentence: isBracketed
        ? `Power drifts by ${perRun}; the order of the runs takes it out of the gain.`
        : `Power drifts by ${perRun} and one side comes first: two drift models were analysed.`,
      remedy: 'Let the machine settle with conditioning runs, keep equal pauses, and alternate the sides.',
      severity: isBracketed ? 'note' : null,
    })
  },
}
