import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { correctionTemperature_K } from '../../inputs/conditions.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { celsiusZero_K } from '../../physics/air.ts'
import { altitudeRange_m, standardPressure_Pa } from '../../physics/atmosphere.ts'
import { toSI } from '../../physics/units.ts'
import { type Check, gradeAtMost, limitOf, notEvidenced, type Observation, observation } from '../check.ts'

/** Air temperatures at which anybody runs a dynamometer. [°C] Common practice, no source. */
const TEMPERATURES_DEGC = { min: -10, max: 50 } as const

/** Humidity below this is more likely a fraction entered as a percentage. [1] Common practice, no source. */
const DRIEST_AIR_1 = 0.03

/**
 * The recorded air can be true: temperature and humidity in range, station pressure near that of the standard
 * atmosphere at the altitude. [kPa] Pressure reduced to sea level, taken for station pressure, shows here.
 *
 * `met` up to `limits.pressureFromAltitude.met`, `marginal` up to `.marginal`, `breached` above.
 * Basis: ISO 2533 for the pressure at an altitude; limits common practice, no source.
 */
export const airCredible: Check = {
  name: 'air-credible',
  compares: 'humidity and temperature ranges; station pressure against altitude',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  isRunCheck: true,
  observe: (evidence, rule) => incredible(evidence) ?? missingAir(evidence) ?? againstAltitude(evidence, rule),
}

function incredible({ session }: Evidence): Observation | null {
  const odd = session.used.flatMap((run) => oddity(run) ?? [])
  const [first] = odd
  if (first === undefined) return null
  return observation('breached', { ...first, runs: odd.flatMap(({ runs }) => runs) })
}

function oddity({ id, conditions }: SessionRun) {
  const humidity = conditions.relativeHumidity_1
  if (humidity !== null && !(humidity >= DRIEST_AIR_1 && humidity <= 1)) {
    return {
      observed: 100 * humidity,
      limit: humidity > 1 ? 100 : 100 * DRIEST_AIR_1,
      unit: '%',
      runs: [id],
      sentence: `A relative humidity of ${(100 * humidity).toFixed(2)} % is not credible.`,
      remedy: 'Enter 55 % as value 55 with unit %, or as value 0.55 with unit 1.',
    }
  }
  const kelvins = [correctionTemperature_K(conditions), conditions.cellAir_K].flatMap((value) => value ?? [])
  const degC = kelvins.map((kelvin) => kelvin - celsiusZero_K)
  const far = degC.find((value) => !(value >= TEMPERATURES_DEGC.min && value <= TEMPERATURES_DEGC.max))
  if (far === undefined) return null
  return {
    observed: far,
    limit: far < TEMPERATURES_DEGC.min ? TEMPERATURES_DEGC.min : TEMPERATURES_DEGC.max,
    unit: 'degC',
    runs: [id],
    sentence: `An air temperature of ${far.toFixed(1)} °C is not credible for a test cell.`,
    remedy: 'Check the reading and its unit (°C or °F).',
  }
}

function missingAir({ session }: Evidence): Observation | null {
  const missing = session.used.filter(
    ({ conditions }) =>
      conditions.stationPressure_Pa === null ||
      conditions.relativeHumidity_1 === null ||
      correctionTemperature_K(conditions) === null,
  )
  const hasAltitude = session.comparison.facility?.altitude !== undefined
  if (session.used.length === 0) {
    return notEvidenced({
      sentence: 'No run is used, so no air was recorded for one.',
      remedy: 'Record measured runs of both sides with their air.',
      runs: [],
      evidence: 'repeat',
    })
  }
  if (missing.length === 0 && hasAltitude) return null
  return notEvidenced({
    sentence:
      missing.length > 0 ? 'The air of a run is not fully recorded.' : 'The altitude of the facility is not recorded.',
    remedy: 'Record station pressure, air temperature, relative humidity, and once the altitude of the facility.',
    runs: missing.map(({ id }) => id),
    evidence: 'from-records',
  })
}

function againstAltitude({ session }: Evidence, rule: ProtocolCheck): Observation {
  const altitude = session.comparison.facility?.altitude
  const altitude_m = altitude === undefined ? Number.NaN : toSI('length', altitude)
  if (!(altitude_m >= altitudeRange_m.lower && altitude_m <= altitudeRange_m.upper)) {
    return observation('breached', {
      observed: altitude_m,
      limit: altitudeRange_m.upper,
      unit: 'm',
      sentence: `An altitude of ${altitude_m.toFixed(0)} m is not credible.`,
      remedy: 'Check the altitude and its unit.',
    })
  }
  const expected_Pa = standardPressure_Pa(altitude_m)
  const worst = session.used
    .map((run) => ({ run, kPa: ((run.conditions.stationPressure_Pa ?? Number.NaN) - expected_Pa) / 1000 }))
    .reduce((a, b) => (Math.abs(b.kPa) > Math.abs(a.kPa) ? b : a))
  const limit = limitOf(rule, 'pressureFromAltitude')
  const status = gradeAtMost(Math.abs(worst.kPa), limit)
  return observation(status, {
    observed: Math.abs(worst.kPa),
    limit: status === 'met' ? limit.met : limit.marginal,
    unit: limit.unit,
    runs: status === 'met' ? [] : [worst.run.id],
    sentence: `Station pressure lies ${Math.abs(worst.kPa).toFixed(1)} kPa ${worst.kPa < 0 ? 'below' : 'above'} the standard atmosphere at ${altitude_m.toFixed(0)} m.`,
    remedy: 'Enter the absolute pressure read at the rig; a weather report gives it reduced to sea level.',
  })
}
