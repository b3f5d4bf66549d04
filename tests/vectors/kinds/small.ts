import { studentT } from '../../../packages/sdk/src/engine/numerics/student-t.ts'
import { bandVarianceShare } from '../../../packages/sdk/src/engine/statistics/band-variance.ts'
import { driftCovariate } from '../../../packages/sdk/src/engine/statistics/drift-covariate.ts'
import {
  type FillValues,
  fillRecord,
  NOTHING_DECLARED,
} from '../../../packages/sdk/src/engine/statistics/facility-record.ts'
import { intervalOf, oneSidedP } from '../../../packages/sdk/src/engine/statistics/interval.ts'
import { recordOf, type VectorRecord, vectorRecordOf } from './record.ts'

/** Kind `time_covariate`. */
export function timeCovariate(input: {
  cases: { start_s: (number | null)[]; mount: string[]; day: (string | number)[] | null }[]
}): unknown {
  return input.cases.map(({ start_s, mount, day }) => [
    ...driftCovariate(start_s.map((start, i) => ({ start_s: start, mounting: mount[i] ?? '', day: day?.[i] ?? null }))),
  ])
}

/** Kind `one_sided_p`. */
export function oneSided(input: {
  estimate: number
  x: number[]
  cases: { components: [number, number][]; howe_forced: boolean }[]
}): unknown {
  return input.cases.map(({ components, howe_forced }) => {
    const parts = components.map(([variance, dof]) => ({ variance, dof }))
    const interval = intervalOf(input.estimate, parts, howe_forced)
    if (interval === null) return null
    const { rule, u, dof, k, low, high } = interval
    return {
      rule,
      u,
      dof,
      k,
      lo: low,
      hi: high,
      p_le: input.x.map((x) => oneSidedP(input.estimate - x, parts, rule)),
      p_ge: input.x.map((x) => oneSidedP(x - input.estimate, parts, rule)),
    }
  })
}

/** Kind `h_band`. */
export function hBand(input: { W: number[]; ell: number[] | number }): unknown {
  return input.W.map((width, i) =>
    bandVarianceShare(width, Array.isArray(input.ell) ? (input.ell[i] ?? Number.NaN) : input.ell),
  )
}

/** Kind `t_quantile`. */
export function tQuantile(input: { p: number; nu: number[] }): unknown {
  return input.nu.map((dof) => studentT.quantile(input.p, dof))
}

const FILL_NAMES = {
  repeat_global_rel_sd: 'repeatRelSd',
  repeat_local_rel_sd: 'localRelSd',
  local_corr_rpm: 'localCorrelation_rpm',
  mount_rel_sd: 'mountRelSd',
  day_rel_sd: 'dayRelSd',
} as const

/** Kind `fill_record`. */
export function fill(input: {
  cases: { record: VectorRecord | null; values: Record<string, number>; status: 'assumed' | 'network' }[]
}): unknown {
  return input.cases.map(({ record, values, status }) => {
    const named = Object.entries(FILL_NAMES).flatMap(([theirs, ours]) =>
      values[theirs] === undefined ? [] : [[ours, values[theirs]]],
    )
    const result = fillRecord(recordOf(record) ?? NOTHING_DECLARED, Object.fromEntries(named) as FillValues, status)
    return { record: vectorRecordOf(result.record), filled: [...result.filled] }
  })
}
