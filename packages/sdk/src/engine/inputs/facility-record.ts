import type { FacilityRecord, RecordGroup, RecordStatus } from '../../contract/facility.ts'
import { convert, toSI } from '../physics/units.ts'
import { type FacilityFigures, type FillValues, NOTHING_DECLARED } from '../statistics/facility-record.ts'
import type { Session } from './session.ts'

/** The facility record as the method reads it, with what is only borrowed kept apart. */
export interface RecordReading {
  /** What was measured or declared at this facility; null when there is no record. */
  readonly own: FacilityFigures | null
  /** Values pooled over other facilities; they only ever give conditional answers. */
  readonly network: FillValues
  /** How the own values came about, after ageing. */
  readonly status: RecordStatus | null
}

const RPM_PER_RAD_PER_S = convert(1, 'rad/s', 'rpm')

/**
 * The facility record of a session.
 *
 * Groups with status `network` or `assumed` are not the facility's own and never enter the plain analysis. `measured` counts
 * as `declared` where the record names no date or no machine and class, or is more than 12 months older than the first run.
 *
 * @param session the session.
 * @returns own and network values. Pure; never throws on weak evidence. Source: measurement-model §1.
 */
export function recordOf({ comparison, runs }: Session): RecordReading {
  const record = comparison.facility?.record
  if (record === undefined) return { own: null, network: {}, status: null }

  const isOld = !isCurrent(record, runs.flatMap(({ day }) => day ?? []).toSorted()[0])
  const groups = [record.repeatability, record.remounting, record.day, record.drift, record.ambient].flatMap(
    (group) => group ?? [],
  )
  const isMeasured = groups.length > 0 && groups.every(({ status }) => status === 'measured') && !isOld
  return { own: ownFigures(record), network: networkValues(record), status: isMeasured ? 'measured' : 'declared' }
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

/** Whether a record names what it applies to and is at most 12 months old on the day of the first run. */
function isCurrent({ on, appliesTo }: FacilityRecord, firstDay: string | undefined): boolean {
  if (on === undefined || appliesTo === undefined || firstDay === undefined) return false
  return firstDay <= yearAfter(on)
}

/** The same day of the next year: the last on which a record of this day counts as measured. `YYYY-MM-DD` */
export function yearAfter(day: string): string {
  return `${String(Number(day.slice(0, 4)) + 1).padStart(4, '0')}${day.slice(4)}`
}
