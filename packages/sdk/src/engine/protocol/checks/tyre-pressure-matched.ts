import type { TyrePressure } from '../../../contract/mounting.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { ofSide, type SessionRun } from '../../inputs/session.ts'
import { type TyrePressureReading, tyrePressureOf } from '../../inputs/setup.ts'
import { type Check, graded, limitOf, notEvidenced, type Observation } from '../check.ts'
import { meanOf } from '../side-means.ts'

/** Standard atmosphere, to turn gauge into absolute pressure. [Pa] */
const ATMOSPHERE_PA = 101_325

/** Tyre temperature to which cold and hot readings are brought. [K] */
const REFERENCE_K = 293.15

/**
 * Gauge pressure of the drive tyre, side mean against side mean, like state with like.
 *
 * Readings of different states are compared only where the tyre temperature was read too, through p·T at constant volume.
 * `met` up to `limits.sideDifference.met`, `marginal` up to `.marginal`, `breached` above; `not-evidenced` without readings.
 * Basis: common practice, no source. The rolling radius and the loss both follow the pressure.
 */
export const tyrePressureMatched: Check = {
  name: 'tyre-pressure-matched',
  compares: 'side means of the gauge pressure of the drive tyre, like state with like',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  owns: ['setup/tyrePressure'],
  observe: (evidence, rule) => {
    const difference = pressureDifference(evidence)
    if (difference === null) return incomparable(evidence)
    const grade = graded({
      observed: difference.kPa,
      limit: limitOf(rule, 'sideDifference'),
      sentence: `Side means of the drive-tyre pressure differ by ${difference.kPa.toFixed(1)} kPa (${difference.how}).`,
      remedy:
        'Set the drive tyre to one pressure in one state (cold, before the first run) on both sides, and write it down.',
      runs: evidence.session.used.map(({ id }) => id),
    })
    const missing = evidence.session.used.filter(({ setup }) => setup.tyrePressure === undefined)
    return grade.status === 'met' && missing.length > 0 ? incomparable(evidence) : grade
  },
}

interface Reading {
  readonly run: SessionRun
  readonly pressure: TyrePressureReading
}

function pressureDifference({ session }: Evidence): { kPa: number; how: string } | null {
  const readings = session.used.flatMap((run): Reading[] => {
    const pressure = tyrePressureOf(run.setup)
    return pressure === null ? [] : [{ run, pressure }]
  })
  const states: readonly TyrePressure['state'][] = ['set-cold', 'before-run', 'after-run']
  const alike = states.flatMap((state) => {
    const kPa = sideDifference_kPa(
      readings.filter(({ pressure }) => pressure.state === state),
      gauge_kPa,
    )
    return kPa === null ? [] : [{ kPa, how: state }]
  })
  if (alike.length > 0) return alike.reduce((worst, each) => (each.kPa > worst.kPa ? each : worst))

  const kPa = readings.every(({ pressure }) => pressure.tyreTemperature_K !== null)
    ? sideDifference_kPa(readings, atReference_kPa)
    : null
  return kPa === null ? null : { kPa, how: 'brought to 20 °C by tyre temperature' }
}

function sideDifference_kPa(
  readings: readonly Reading[],
  read: (pressure: TyrePressureReading) => number,
): number | null {
  const side = (name: SessionRun['side']) =>
    ofSide(
      readings.map(({ run, pressure }) => ({ side: run.side, pressure })),
      name,
    ).map(({ pressure }) => read(pressure))
  const [baseline, modified] = [side('baseline'), side('modified')]
  return baseline.length === 0 || modified.length === 0 ? null : Math.abs(meanOf(modified) - meanOf(baseline))
}

const gauge_kPa = ({ gaugePressure_Pa }: TyrePressureReading): number => gaugePressure_Pa / 1000

const atReference_kPa = ({ gaugePressure_Pa, tyreTemperature_K }: TyrePressureReading): number =>
  ((gaugePressure_Pa + ATMOSPHERE_PA) * (REFERENCE_K / (tyreTemperature_K ?? Number.NaN)) - ATMOSPHERE_PA) / 1000

function incomparable({ session }: Evidence): Observation {
  const missing = session.used.filter(({ setup }) => setup.tyrePressure === undefined)
  return notEvidenced({
    sentence:
      missing.length > 0
        ? 'The drive-tyre pressure was not recorded for every run.'
        : 'The sides were read in different states, and the tyre temperature was not read.',
    remedy: 'Write down the drive-tyre pressure and its state (set cold, before or after the run) for every strapping.',
    runs: (missing.length > 0 ? missing : session.used).map(({ id }) => id),
    evidence: missing.length > 0 ? 'from-records' : 'repeat',
  })
}
