import { type FacilityFigures, NOTHING_DECLARED } from '../../../packages/sdk/src/engine/statistics/facility-record.ts'

/** The flat record of a vector. */
export interface VectorRecord {
  readonly [name: string]:
    | number
    | boolean
    | null
    | undefined
    | Record<string, FacilityFigures['status']['repeat']>
    | [number[], number[]]
  readonly status?: Record<string, FacilityFigures['status']['repeat']>
}

const NAMES = {
  repeat_global_rel_sd: 'repeatRelSd',
  repeat_dof: 'repeatDof',
  repeat_local_rel_sd: 'localRelSd',
  local_corr_rpm: 'localCorrelation_rpm',
  mount_rel_sd: 'mountRelSd',
  mount_dof: 'mountDof',
  mount_shape_rel_sd: 'mountShapeRelSd',
  day_rel_sd: 'dayRelSd',
  day_dof: 'dayDof',
  drift_rel_sd_per_run: 'driftRelSdPerRun',
  drift_dof: 'driftDof',
  ambient_frac_sd: 'ambientFracSd',
  ambient_dof: 'ambientDof',
} as const

/** A vector's record as the engine reads it; null where the vector has none. */
export function recordOf(record: VectorRecord | null): FacilityFigures | null {
  if (record === null) return null
  const figures = Object.entries(NAMES).flatMap(([theirs, ours]) =>
    record[theirs] === undefined ? [] : [[ours, record[theirs]]],
  )
  const profile = record.local_profile as [number[], number[]] | null | undefined
  return {
    ...NOTHING_DECLARED,
    ...Object.fromEntries(figures),
    localProfile:
      profile === undefined || profile === null ? null : { engineSpeed_rpm: profile[0], weight_1: profile[1] },
    status: record.status ?? {},
  }
}

/** An engine record in a vector's words; what is null is left out. */
export function vectorRecordOf(record: FacilityFigures): Record<string, unknown> {
  const figures = Object.entries(NAMES).flatMap(([theirs, ours]) =>
    record[ours] === null ? [] : [[theirs, record[ours]]],
  )
  const profile =
    record.localProfile === null
      ? {}
      : { local_profile: [record.localProfile.engineSpeed_rpm, record.localProfile.weight_1] }
  return { ...Object.fromEntries(figures), ...profile, status: record.status }
}
