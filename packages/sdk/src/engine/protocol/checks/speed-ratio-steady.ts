import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { averagedTrace, speedTraceOf } from '../../evidence/speed-trace.ts'
import { isContinuouslyVariable } from '../../evidence/transmission.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { slipGrowth, slipStep } from '../../statistics/detectors/slip-within-run.ts'
import type { SpeedTrace } from '../../statistics/detectors/speed-ratio-figures.ts'
import { type Check, channelAbsent, graded, gravest, limitOf, type Observation, observation } from '../check.ts'

/**
 * The drive tyre does not slip away within a run: engine speed over roller speed along the sweep.
 *
 * Growth = ln(median ratio of the last 500 rpm / of the first 1,200 rpm); step = largest |change| of its logarithm over
 * 200 rpm. [%] Each `met` up to its limit's first bound, `marginal` up to the second, `breached` above.
 * `not-applicable` with a continuously variable drive; `not-evidenced` without roller speed.
 * Basis: measurement-model §8; common practice, no source.
 */
export const speedRatioSteady: Check = {
  name: 'speed-ratio-steady',
  compares: 'engine speed over roller speed along each sweep: growth and steps',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced', 'not-applicable'],
  isRunCheck: true,
  observe: (evidence, rule) => {
    if (isContinuouslyVariable(evidence.session)) {
      return observation('not-applicable', {
        sentence: 'The drive is continuously variable; its ratio moves by itself.',
      })
    }
    const traced = evidence.session.used.flatMap((run) => {
      const trace = speedTraceOf(run, evidence.traces)
      return trace === null ? [] : [slipFinding(run, trace, rule)]
    })
    const worst = gravest(traced)
    if (worst === undefined || (worst.status === 'met' && traced.length < evidence.session.used.length)) {
      return rollerSpeedAbsent(evidence)
    }
    if (worst.status === 'met') return { ...worst, sentence: 'The drive tyre slips steadily in every run.' }
    return { ...worst, runs: traced.filter(({ status }) => status === worst.status).flatMap(({ runs }) => runs) }
  },
}

function slipFinding({ id }: SessionRun, trace: SpeedTrace, rule: ProtocolCheck): Observation {
  const growth = 100 * slipGrowth(trace)
  const step = 100 * slipStep(averagedTrace(trace))
  const remedy =
    'Let the tyre cool, clean tyre and rollers, check pressure and straps within their limits; then run again, or leave the run out under the rule `slip`.'
  const findings = [
    graded({
      observed: growth,
      limit: limitOf(rule, 'growth'),
      sentence: `Slip of run ${id} grows by ${growth.toFixed(1)} % along the sweep.`,
      remedy,
      runs: [id],
    }),
    graded({
      observed: step,
      limit: limitOf(rule, 'step'),
      sentence: `The speed ratio of run ${id} jumps by ${step.toFixed(1)} % within 200 rpm.`,
      remedy,
      runs: [id],
    }),
  ]
  return gravest(findings) ?? observation('met', { sentence: '' })
}

function rollerSpeedAbsent({ session, traces }: Evidence): Observation {
  return channelAbsent({
    channel: 'roller speed',
    remedy: 'Export the roller speed with every run: slip leaves no other trace.',
    runs: session.used.filter((run) => speedTraceOf(run, traces) === null),
  })
}
