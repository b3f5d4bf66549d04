import type { RecordStatus } from '../../contract/facility.ts'

/** Groups of a facility record that can be absent as a whole and filled in a conditional analysis. */
export type FillableGroup = 'repeat' | 'mount' | 'day'

/**
 * How well a facility repeats, as the method reads it: relative standard deviations as fractions of the power, speeds in
 * rpm. `null` means not declared; a standard deviation and its degrees of freedom come together.
 */
export interface FacilityFigures {
  /** Run-to-run sd of the band mean, g. [1], above 0 */
  readonly repeatRelSd: number | null
  /** Prior degrees of freedom of it, d_r. [1] */
  readonly repeatDof: number | null
  /** Local noise, l. [1] */
  readonly localRelSd: number | null
  /** Correlation length of the local noise. [rpm] */
  readonly localCorrelation_rpm: number | null
  /** Relative variance of the local noise over engine speed; null when flat. */
  readonly localProfile: { readonly engineSpeed_rpm: readonly number[]; readonly weight_1: readonly number[] } | null
  /** Between-mounting sd. [1], at or above 0 */
  readonly mountRelSd: number | null
  /** Its degrees of freedom. [1] */
  readonly mountDof: number | null
  /** Sd of the curve's tilt between mountings. [1]; absent: 0.3 mountRelSd */
  readonly mountShapeRelSd: number | null
  /** Between-day sd. [1] */
  readonly dayRelSd: number | null
  /** Its degrees of freedom. [1] */
  readonly dayDof: number | null
  /** Drift sd per run. [1]; absent: 0.002 */
  readonly driftRelSdPerRun: number | null
  /** Its degrees of freedom. [1]; absent: 1e9 */
  readonly driftDof: number | null
  /** Residual of the correction as a fraction of the factor difference. [1]; absent: 0.25 */
  readonly ambientFracSd: number | null
  /** Its degrees of freedom. [1]; absent: 1e9 */
  readonly ambientDof: number | null
  /** How each group's values came about; a group not named is as good as measured. */
  readonly status: { readonly [Group in FillableGroup]?: RecordStatus }
}

/** A record in which nothing is declared. */
export const NOTHING_DECLARED: FacilityFigures = {
  repeatRelSd: null,
  repeatDof: null,
  localRelSd: null,
  localCorrelation_rpm: null,
  localProfile: null,
  mountRelSd: null,
  mountDof: null,
  mountShapeRelSd: null,
  dayRelSd: null,
  dayDof: null,
  driftRelSdPerRun: null,
  driftDof: null,
  ambientFracSd: null,
  ambientDof: null,
  status: {},
}

/** Infinite degrees of freedom, as written. [1] */
export const INFINITE_DOF = 1e9

/** Degrees of freedom of values that nobody measured at this facility. [1] Source: measurement-model §1 and §9.4. */
export const ASSUMED_DOF = 3

/** What is taken where a record is silent. Source: measurement-model §1; noise sizes are assumptions. */
export const WHERE_SILENT = {
  repeatRelSd: 0.005,
  localRelSd: 0.003,
  localCorrelation_rpm: 200,
  driftRelSdPerRun: 0.002,
  ambientFracSd: 0.25,
  mountShapeOfMount: 0.3,
} as const

/**
 * Why a record cannot be used: a standard deviation without degrees of freedom or the other way round, or g = 0.
 *
 * @param record the record.
 * @returns the members concerned; empty when it can be used. Pure; never throws.
 */
export function recordFaults(record: FacilityFigures): readonly string[] {
  const pairs: readonly (readonly [string, number | null, number | null])[] = [
    ['repeat', record.repeatRelSd, record.repeatDof],
    ['mount', record.mountRelSd, record.mountDof],
    ['day', record.dayRelSd, record.dayDof],
  ]
  const halves = pairs.filter(([, sd, dof]) => (sd === null) !== (dof === null)).map(([group]) => group)
  return record.repeatRelSd === 0 ? [...halves, 'repeatRelSd'] : halves
}

/** Values that fill the absent groups of a record; their degrees of freedom where they have own ones. */
export interface FillValues {
  readonly repeatRelSd?: number
  readonly repeatDof?: number
  readonly localRelSd?: number
  readonly localCorrelation_rpm?: number
  readonly mountRelSd?: number
  readonly mountDof?: number
  readonly dayRelSd?: number
  readonly dayDof?: number
}

/** A filled record, and which groups were filled. */
export interface FilledRecord {
  readonly record: FacilityFigures
  readonly filled: readonly FillableGroup[]
}

/**
 * A record with its absent groups filled for a conditional analysis; what is present is kept.
 *
 * @param record the record as declared.
 * @param values the protocol's typical or cautious values, or a network's. [1]
 * @param status `assumed` or `network`. A value counts with at most 3 degrees of freedom, and with 3 where it has none of its own.
 * @returns the filled record. Source: measurement-model §1, conditional judgements, and §9.4.
 */
export function fillRecord(record: FacilityFigures, values: FillValues, status: 'assumed' | 'network'): FilledRecord {
  const dof = (own: number | undefined) => Math.min(own ?? ASSUMED_DOF, ASSUMED_DOF)
  const repeat = record.repeatRelSd === null && values.repeatRelSd !== undefined
  const mount = record.mountRelSd === null && values.mountRelSd !== undefined
  const day = record.dayRelSd === null && values.dayRelSd !== undefined
  const filled: FillableGroup[] = [
    ...(repeat ? ['repeat' as const] : []),
    ...(mount ? ['mount' as const] : []),
    ...(day ? ['day' as const] : []),
  ]
  const local = repeat
    ? {
        localRelSd: record.localRelSd ?? values.localRelSd ?? null,
        localCorrelation_rpm: record.localCorrelation_rpm ?? values.localCorrelation_rpm ?? null,
      }
    : {}
  return {
    filled,
    record: {
      ...record,
      ...local,
      ...(repeat ? { repeatRelSd: values.repeatRelSd ?? null, repeatDof: dof(values.repeatDof) } : {}),
      ...(mount ? { mountRelSd: values.mountRelSd ?? null, mountDof: dof(values.mountDof) } : {}),
      ...(day ? { dayRelSd: values.dayRelSd ?? null, dayDof: dof(values.dayDof) } : {}),
      status: { ...record.status, ...Object.fromEntries(filled.map((group) => [group, status])) },
    },
  }
}
