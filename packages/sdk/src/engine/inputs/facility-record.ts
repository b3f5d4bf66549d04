import type { FacilityRecord, RecordGroup, RecordStatus } from '../../contract/facility.ts'
import { convert, toSI } from '../physics/units.ts'
import { type FacilityFigures, type FillValues, NOTHING_DECLARED } from '../statistics/facility-record.ts'
import { type RecordGap, recordGaps } from './record-scope.ts'
import type { Session } from './session.ts'

/** The facility record as the method reads it, with what is only borrowed kept apart. */
export interface RecordReading {
  /** What was measured or declared at this facility; null when there is no record. */
  readonly own: FacilityFigures | null
  /** Values pooled over other facilities; they only ever give conditional answers. */
  readonly network: FillValues
  /** How the own values came about, as they count in this session. */
  readonly status: RecordStatus | null
  /** Why values that the record calls measured count as declared; empty where they do not, or where none is. */
  readonly gaps: readonly RecordGap[]
}

const RPM_PER_RAD_PER_S = convert(1, 'rad/s', 'rpm')

/**
 * The facility record of a session.
 *
 * Groups with status `network` or `assumed` are not the facility's own and never enter the plain analysis. `measured` counts
 * as `declared` where `recordGaps` finds that the record is of another machine, strapping method or class, or too old, or
 * that either side does not say.
 *
 * @param session the session.
 * @returns own and network values. Pure; never throws on weak evidence. Source: measurement-model §1.
 */
export function recordOf(session: Session): RecordReading {
  const record = session.comparison.facility?.record
  if (record === undefined) return { own: null, network: {}, status: null, gaps: [] }

  const groups = [record.repeatability, record.remounting, record.day, record.drift, record.ambient].flatMap(
    (group) => group ?? [],
  )
  const gaps = groups.some(({ status }) => status === 'measured') ? recordGaps(record, session) : []
  const isMeasured = groups.length > 0 && groups.every(({ status }) => status === 'measured') && gaps.length === 0
  const status = isMeasured ? 'measured' : 'declared'
  return { own: ownFigures(record), network: networkValues(record), status, gaps }
}

/** Whether a group was measured or declared at the facility itself, and not borrowed. */
export function isOwn(group: RecordGroup | undefined): group is RecordGroup {
  return group?.status === 'measured' || group?.status === 'declared'
}

function ownFigures(record: FacilityRecord): FacilityFigures {
  const pair = (group: RecordGroup | undefined) => (isOwn(group) ? group : null)
  const [repeat, mount, day] = [pair(record.repeatability), pair(record.remounting), pair(record.day)]
  const [drift, ambient] = [pair(record.drift), pair(record.ambient)]
  const local = record.localNoise
  return {
    ...NOTHING_DECLARED,
    repeatRelSd: repeat?.relativeSd ?? null,
    repeatDof: repeat?.degreesOfFreedom ?? null,
    localRelSd: local?.relativeSd ?? null,
    localCorrelation_rpm: local === undefined ? null : rpm(local.correlationLength),
    localProfile:
      local?.profile === undefined
        ? null
        : {
            engineSpeed_rpm: local.profile.map(({ at }) => rpm(at)),
            weight_1: local.profile.map(({ weight }) => weight),
          },
    mountRelSd: mount?.relativeSd ?? null,
    mountDof: mount?.degreesOfFreedom ?? null,
    mountShapeRelSd: mount === null ? null : (record.remounting?.tiltRelativeSd ?? null),
    dayRelSd: day?.relativeSd ?? null,
    dayDof: day?.degreesOfFreedom ?? null,
    driftRelSdPerRun: drift?.relativeSd ?? null,
    driftDof: drift?.degreesOfFreedom ?? null,
    ambientFracSd: ambient?.relativeSd ?? null,
    ambientDof: ambient?.degreesOfFreedom ?? null,
  }
}

/** rpm stays rpm, bit for bit. */
function rpm({ value, unit }: { readonly value: number; readonly unit: 'rpm' | 'rad/s' }): number {
  return unit === 'rpm' ? value : toSI('rotationalSpeed', { value, unit }) * RPM_PER_RAD_PER_S
}

function networkValues({ repeatability, remounting, day }: FacilityRecord): FillValues {
  return {
    ...(repeatability?.status === 'network'
      ? { repeatRelSd: repeatability.relativeSd, repeatDof: repeatability.degreesOfFreedom }
      : {}),
    ...(remounting?.status === 'network'
      ? { mountRelSd: remounting.relativeSd, mountDof: remounting.degreesOfFreedom }
      : {}),
    ...(day?.status === 'network' ? { dayRelSd: day.relativeSd, dayDof: day.degreesOfFreedom } : {}),
  }
}
