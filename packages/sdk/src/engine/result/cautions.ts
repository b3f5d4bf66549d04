import type { Caution, Finding } from '../../contract/result.ts'
import type { Session } from '../inputs/session.ts'
import { tyrePressureOf } from '../inputs/setup.ts'
import { toSI } from '../physics/units.ts'

const DEFER =
  'The vehicle’s and the dynamometer’s own instructions and local codes come first; leave it to licensed practice where you are in doubt.'

const ALWAYS: readonly Caution[] = [
  {
    about: 'rotating-parts',
    sentence: `Nobody in line with wheel and chain, or within reach of them, during a run. ${DEFER}`,
  },
  {
    about: 'exhaust-gas',
    sentence: 'Hot exhaust burns and carbon monoxide kills unnoticed: run with extraction and a gas alarm.',
  },
  { about: 'noise', sentence: 'Full-throttle runs damage hearing: wear protection, and mind those outside the cell.' },
  {
    about: 'straps',
    sentence: 'Keep straps within their working load limit, and replace any that are cut, glazed or frayed.',
  },
  {
    about: 'road-use',
    sentence: 'A power figure says nothing about emissions or noise; the law may forbid this part on the road.',
  },
]

/**
 * The safety cautions that apply: some always, the others where the data touch them. They inform; they defer.
 *
 * @param session the session.
 * @param findings all findings.
 * @returns cautions, the particular ones first. Pure; never throws.
 */
export function cautionsOf(session: Session, findings: readonly Finding[]): readonly Caution[] {
  return [
    ...tyreCaution(session),
    ...mixtureCaution(session, findings),
    ...heatCaution(findings),
    ...fuelCaution(session),
    ...ALWAYS,
  ]
}

function tyreCaution({ used, comparison }: Session): readonly Caution[] {
  const over = used.find(({ setup }) => {
    const max = comparison.driveTyres?.find(({ id }) => id === setup.driveTyre)?.maxPressure
    const pressure = tyrePressureOf(setup)
    return max !== undefined && pressure !== null && pressure.gaugePressure_Pa > toSI('pressure', max)
  })
  const speed = 'Mind the tyre’s age and its speed symbol: rollers can drive a tyre faster than it is made for.'
  return over === undefined
    ? [{ about: 'tyre', sentence: `Keep the drive-tyre pressure below the maximum on the sidewall. ${speed}` }]
    : [
        {
          about: 'tyre',
          sentence: `The drive-tyre pressure of run ${over.id} is above the maximum on the sidewall: a tyre can burst. ${speed}`,
        },
      ]
}

/** Words of a change that touch the mixture. Common practice, no source. */
const TOUCHES_MIXTURE = /air|filter|intake|trumpet|exhaust|silencer|header|map|tune|fuel|injector|jet|cam|boost/i

function mixtureCaution({ comparison }: Session, findings: readonly Finding[]): readonly Caution[] {
  const touches = (comparison.changes ?? []).some(({ what }) => TOUCHES_MIXTURE.test(what))
  const lean = findings.some(
    ({ check, status }) => check === 'fuelling-sound' && (status === 'breached' || status === 'marginal'),
  )
  if (!touches && !lean) return []
  return [
    {
      about: 'lean-mixture',
      sentence: `This kind of change can lean the mixture, and a lean mixture at full load can destroy an engine: watch lambda and stop at the first sign. ${DEFER}`,
    },
  ]
}

function heatCaution(findings: readonly Finding[]): readonly Caution[] {
  const isWarm = findings.some(
    ({ check, status }) => check === 'engine-temperature-matched' && (status === 'breached' || status === 'marginal'),
  )
  return isWarm
    ? [
        {
          about: 'overheating',
          sentence:
            'Engine temperature moved between the sides: overheating brings detonation. Let it cool, and use a fan.',
        },
      ]
    : []
}

function fuelCaution({ comparison }: Session): readonly Caution[] {
  const auxiliary = (comparison.changes ?? []).some(({ what }) => /pump|tank|fuel supply|fuel line/i.test(what))
  return auxiliary
    ? [
        {
          about: 'fuel-supply',
          sentence: `A temporary or auxiliary fuel supply near a hot engine is a fire hazard. ${DEFER}`,
        },
      ]
    : []
}
