import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type Check, channelAbsent, graded, limitOf } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'
import { meanOf, sideMeansOf } from '../side-means.ts'

/**
 * Both sides burned the same mixture at full load: side means of lambda over the claimed band, one place of the probe. [1]
 *
 * `met` up to `limits.sideDifference.met`, `marginal` up to `.marginal`, `breached` above or with another place of the
 * probe: the gain then includes the mixture change. `not-evidenced` without a mixture channel.
 * Basis: common practice, no source.
 */
export const mixtureMatched: Check = {
  name: 'mixture-matched',
  compares: 'side means of lambda at full load over the claimed band, same place of the probe',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  owns: ['channels/mixture/probe'],
  observe: (evidence, rule) => {
    const { used } = evidence.session
    const lambda = sideMeansOf(used, (run) => meanLambda_1(evidence, run))
    if (lambda.difference === null || lambda.missing.length > 0) {
      return channelAbsent({
        channel: 'mixture channel',
        remedy: 'Record lambda with every run from one place; a richer or leaner side gains or loses by that alone.',
        runs: used.filter(({ id }) => lambda.missing.includes(id)),
        evidence: 'repeat',
      })
    }
    const probe = sameOnEveryRun(
      used,
      [{ name: 'place of the probe', read: ({ wire }) => wire.channels?.mixture?.probe ?? null }],
      {
        same: '',
        ifDifferent: 'Read the mixture at one place on both sides; a tail pipe draws in air.',
        ifMissing: '',
      },
    )
    if (probe.status === 'breached') return probe
    const observed = Math.abs(lambda.difference)
    return graded({
      observed,
      limit: limitOf(rule, 'sideDifference'),
      sentence: `Mean lambda at full load differs by ${observed.toFixed(3)} between the sides.`,
      remedy:
        'Bring both sides to one mixture, or say that the gain includes the mixture change. A leaner side is no safe gain.',
      runs: used.map(({ id }) => id),
    })
  },
}

/** Mean lambda of the samples inside the claimed band; of the whole sweep where no band is claimed. [1] */
function meanLambda_1({ traces, claimedBand }: Evidence, run: SessionRun): number | null {
  const columns = traces.get(run)?.columns
  if (columns?.lambda_1 == null) return null
  const { engineSpeed_rpm } = columns
  const isInside = (i: number) => {
    const speed = engineSpeed_rpm[i] ?? Number.NaN
    return claimedBand === null || (speed >= claimedBand.from_rpm && speed <= claimedBand.to_rpm)
  }
  const inside = columns.lambda_1.filter((_, i) => isInside(i))
  return inside.length === 0 ? null : meanOf([...inside])
}
