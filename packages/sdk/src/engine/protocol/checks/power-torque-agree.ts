import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import type { SweepColumns } from '../../evidence/trace.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { median } from '../../numerics/median.ts'
import { torque_N_m } from '../../physics/power.ts'
import { confusedUnits } from '../../physics/unit-confusion.ts'
import { convert } from '../../physics/units.ts'
import {
  type Check,
  channelAbsent,
  gradeAtMost,
  graded,
  gravest,
  limitOf,
  type Observation,
  observation,
} from '../check.ts'

const RAD_PER_S_PER_RPM = convert(1, 'rpm', 'rad/s')

/**
 * Power, torque and engine speed of a run fit together: power = torque × angular speed.
 *
 * Statistic: median of | power / (torque × angular speed) − 1 | over the sweep, worst run. [%] A ratio that a mistaken unit
 * explains is named in the remedy. `not-applicable` where power was computed from torque or roller speed, since then there
 * is nothing to disagree; `not-evidenced` where only power was recorded.
 * Basis: mechanics; NIST SP 811 for the units; limits common practice, no source.
 */
export const powerTorqueAgree: Check = {
  name: 'power-torque-agree',
  compares: 'power against torque times angular speed, run by run; ratios of mistaken units named',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced', 'not-applicable'],
  isRunCheck: true,
  observe: (evidence, rule) => {
    const { session, traces } = evidence
    const recorded = session.used.filter((run) => traces.get(run)?.power.source === 'wheel-power')
    const derived = session.used.filter((run) => (traces.get(run)?.power.source ?? 'none') !== 'none')
    if (recorded.length === 0 && derived.length === session.used.length && derived.length > 0) {
      return observation('not-applicable', {
        sentence: 'Power was computed from torque or roller speed; there is no second figure to disagree.',
      })
    }
    const found = recorded.flatMap((run) => agreement(run, traces.get(run)?.columns, rule))
    const worst = gravest(found)
    if (worst === undefined || worst.status === 'met')
      return torqueAbsent(evidence) ?? (worst === undefined ? noCurves(evidence) : { ...worst, sentence: AGREE })
    return { ...worst, runs: found.filter(({ status }) => status === worst.status).flatMap(({ runs }) => runs) }
  },
}

const AGREE = 'Power is torque times engine speed in every run.'

function torqueAbsent({ session, traces }: Evidence): Observation | null {
  const silent = session.used.filter((run) => {
    const trace = traces.get(run)
    return trace === undefined || (trace.power.source === 'wheel-power' && trace.columns.torque_Nm === null)
  })
  if (silent.length === 0) return null
  return channelAbsent({
    channel: 'torque channel',
    remedy: 'Export the torque column beside the power: together they show a mistaken unit.',
    runs: silent,
  })
}

function noCurves({ session }: Evidence): Observation {
  return channelAbsent({
    channel: 'recorded curves',
    remedy: 'Hand in the recorded channels of every run, with power and torque.',
    runs: session.used,
  })
}

function agreement({ id }: SessionRun, columns: SweepColumns | undefined, rule: ProtocolCheck): Observation[] {
  const ratios = ratiosOf(columns)
  if (ratios.length === 0) return []
  const observed = 100 * median(ratios.map((ratio) => Math.abs(ratio - 1)))
  const limit = limitOf(rule, 'deviation')
  const confusion = gradeAtMost(observed, limit) === 'met' ? null : confusedUnits(median(ratios))
  return [
    graded({
      observed,
      limit,
      sentence: `Power of run ${id} differs from torque times engine speed by ${observed.toFixed(2)} %.`,
      remedy:
        confusion === null
          ? 'Check which columns were exported: power, torque and engine speed must be of one run, one shaft and one correction.'
          : `This is what ${confusion} makes: put the unit of that column right.`,
      runs: [id],
    }),
  ]
}

/** Recorded torque against power over angular speed, as power over their product. [1] */
function ratiosOf(columns: SweepColumns | undefined): Float64Array {
  const { power_W, torque_Nm, engineSpeed_rpm } = columns ?? {}
  if (power_W == null || torque_Nm == null || engineSpeed_rpm === undefined) return new Float64Array()
  const ratios = new Float64Array(power_W.length)
  let count = 0
  for (let i = 0; i < power_W.length; i++) {
    const [power, torque, speed] = [power_W[i] ?? Number.NaN, torque_Nm[i] ?? Number.NaN, engineSpeed_rpm[i] ?? 0]
    const ratio = speed > 0 && torque !== 0 ? torque_N_m(power, speed * RAD_PER_S_PER_RPM) / torque : Number.NaN
    if (!Number.isNaN(ratio)) ratios[count++] = ratio
  }
  return ratios.subarray(0, count)
}
