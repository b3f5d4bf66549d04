import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { type Session, type SessionRun, vehicleOf } from '../../inputs/session.ts'
import { celsiusZero_K } from '../../physics/air.ts'
import { type Check, gradeAtLeast, limitOf, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * The engine was warm when each run began: coolant and oil at or above a floor.
 *
 * `met` when every sensor that was read is at its floor; `breached` below it; `marginal` where a run has no sensor but a
 * conditioning run came before it in its mounting; else `not-evidenced`.
 * The oil of a two-stroke, that of its gearbox, is no engine temperature and is not looked at.
 * Basis: common practice, no source.
 */
export const warmedUp: Check = {
  name: 'warmed-up',
  compares: 'coolant and oil at run start against a floor; without a sensor, a conditioning run in that mounting',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  isRunCheck: true,
  observe: (evidence, rule) => coldRun(evidence, rule) ?? withoutSensor(evidence) ?? warm(evidence),
}

function coldRun({ session }: Evidence, rule: ProtocolCheck): Observation | null {
  const readings = session.used.flatMap((run) => [
    ...reading(run, run.conditions.coolant_K, 'coolant'),
    ...reading(run, run.conditions.oil_K, 'oil'),
  ])
  const cold = readings.filter(({ degC, sensor }) => gradeAtLeast(degC, limitOf(rule, sensor)) === 'breached')
  const coldest = cold.toSorted((a, b) => a.degC - b.degC)[0]
  if (coldest === undefined) return null
  const floor = limitOf(rule, coldest.sensor)
  return observation('breached', {
    observed: coldest.degC,
    limit: floor.met,
    unit: floor.unit,
    runs: [...new Set(cold.map(({ run }) => run.id))],
    sentence: `The ${coldest.sensor} stood at ${coldest.degC.toFixed(0)} °C when run ${coldest.run.id} began.`,
    remedy: 'Warm the engine with conditioning runs until coolant and oil are at running temperature, then measure.',
  })
}

function reading(run: SessionRun, temperature_K: number | null, sensor: 'coolant' | 'oil') {
  return temperature_K === null ? [] : [{ run, sensor, degC: temperature_K - celsiusZero_K }]
}

function withoutSensor({ session }: Evidence): Observation | null {
  const blind = session.used.filter(({ conditions }) => conditions.coolant_K === null && conditions.oil_K === null)
  if (blind.length === 0 && session.used.length > 0) return null
  const runs = blind.map(({ id }) => id)
  if (blind.length > 0 && blind.every((run) => isConditioned(session, run))) {
    return observation('marginal', {
      runs,
      sentence: 'No engine temperature was read, but a conditioning run came first in each mounting.',
      remedy: isTwoStroke(session, blind)
        ? 'Read the coolant temperature at the start of every run; an air-cooled two-stroke has conditioning runs only.'
        : 'Read coolant or oil temperature at the start of every run.',
    })
  }
  return notEvidenced({
    sentence: isTwoStroke(session, blind)
      ? 'The coolant temperature was not read at the start of every run, a two-stroke has no engine oil to read, and no conditioning run is listed.'
      : 'Neither coolant nor oil temperature was read at the start of every run, and no conditioning run is listed.',
    remedy: isTwoStroke(session, blind)
      ? 'Make a conditioning run in each mounting, and read the coolant temperature where there is coolant.'
      : 'Read coolant or oil temperature at the start of every run, after a conditioning run.',
    runs,
    evidence: 'repeat',
  })
}

function isTwoStroke(session: Session, runs: readonly SessionRun[]): boolean {
  return runs.length > 0 && runs.every((run) => vehicleOf(session, run)?.engine?.cycle === 'two-stroke')
}

function isConditioned({ runs }: Session, run: SessionRun): boolean {
  return runs.some(
    ({ wire, mounting, position }) =>
      wire.purpose === 'conditioning' && mounting === run.mounting && position < run.position,
  )
}

function warm({ session }: Evidence): Observation {
  const coldest = (read: (run: SessionRun) => number | null) =>
    Math.min(...session.used.flatMap((run) => read(run) ?? []))
  const [coolant, oil] = [
    coldest(({ conditions }) => conditions.coolant_K),
    coldest(({ conditions }) => conditions.oil_K),
  ]
  const lowest = Number.isFinite(coolant) ? coolant : oil
  return observation('met', {
    observed: lowest - celsiusZero_K,
    unit: 'degC',
    sentence: 'The engine was at running temperature at the start of every run.',
  })
}
