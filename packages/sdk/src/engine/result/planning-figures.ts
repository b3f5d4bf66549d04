import type { FacilityRecord, RecordGroup, RecordStatus } from '../../contract/facility.ts'
import type { AssumedValues } from '../../contract/protocol.ts'
import type { PlannedFigure } from '../../contract/sample-size.ts'
import { rpmOf } from '../evidence/subject.ts'
import { isOwn } from '../inputs/facility-record.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { bandVarianceShare } from '../statistics/band-variance.ts'
import { INFINITE_DOF, WHERE_SILENT } from '../statistics/facility-record.ts'
import type { PlanningFigures } from '../statistics/planned-session.ts'

/** Figures for the planning, and what each rests on. */
export interface PlanningBasis {
  /** As the planning takes them. */
  readonly figures: PlanningFigures
  /** As a reader is told of them. */
  readonly rows: readonly PlannedFigure[]
}

/**
 * Figures for planning from a facility record, with the protocol's typical values for what it lacks.
 *
 * Sizes are taken from wherever they are; degrees of freedom from what was measured or declared at this facility alone, since
 * nothing borrowed enters an interval that is not conditional.
 *
 * @param record the record; undefined for none.
 * @param typical the protocol's typical values.
 * @param width_rpm width of the band of a band mean; 0 for a peak or one engine speed. [rpm]
 * @returns figures and their rows. Pure; never throws. Source: measurement-model §1, §3 and §11.
 */
export function planningBasis(
  record: FacilityRecord | undefined,
  typical: AssumedValues,
  width_rpm: number,
): PlanningBasis {
  const repeat = sized(record?.repeatability, typical.repeatability)
  const mount = sized(record?.remounting, typical.remounting)
  const drift = sized(record?.drift, WHERE_SILENT.driftRelSdPerRun, INFINITE_DOF)
  const local = record?.localNoise
  const localSd = local?.relativeSd ?? typical.localNoise
  const correlation_rpm = local === undefined ? WHERE_SILENT.localCorrelation_rpm : rpmOf(local.correlationLength)
  const localShare = bandVarianceShare(width_rpm, correlation_rpm)
  return {
    figures: {
      repeatRelSd: Math.sqrt(repeat.sd ** 2 + localSd ** 2 * localShare),
      repeatDof: repeat.dof,
      mountRelSd: mount.sd,
      mountDof: mount.dof,
      driftRelSdPerRun: drift.sd,
      driftDof: drift.dof,
      otherVariance: 0,
    },
    rows: [
      row('repeatability', repeat, 'from run to run in one mounting'),
      row(
        'local-noise',
        { sd: localSd, dof: 0, status: local === undefined ? 'assumed' : repeat.status },
        'at one engine speed',
      ),
      row('re-mounting', mount, 'from one strapping-down to the next'),
      row('drift', drift, 'of drift per run'),
    ],
  }
}

interface Sized {
  readonly sd: number
  readonly dof: number
  readonly status: RecordStatus
}

function sized(group: RecordGroup | undefined, otherwise: number, otherwiseDof = 0): Sized {
  if (group === undefined) return { sd: otherwise, dof: otherwiseDof, status: 'assumed' }
  const { relativeSd, degreesOfFreedom, status } = group
  return { sd: relativeSd, dof: isOwn(group) ? degreesOfFreedom : otherwiseDof, status }
}

const STATUS_WORDS: Readonly<Record<RecordStatus, string>> = {
  measured: 'measured at this facility',
  declared: 'declared by this facility',
  network: 'from other facilities',
  assumed: 'assumed, no source',
}

function row(term: PlannedFigure['term'], { sd, dof, status }: Sized, what: string): PlannedFigure {
  return {
    term,
    relativeSd: roundSignificant(sd),
    degreesOfFreedom: roundSignificant(dof),
    status,
    sentence: `${Number((100 * sd).toPrecision(3))} % ${what}: ${STATUS_WORDS[status]}.`,
  }
}
