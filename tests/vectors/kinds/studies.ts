import { facilityPrior } from '../../../packages/sdk/src/engine/statistics/facility-prior.ts'
import { facilityStudy } from '../../../packages/sdk/src/engine/statistics/facility-study.ts'

/** Kind `facility_prior`. */
export function prior(input: { cases: { s2: number[]; dof: number[] }[] }): unknown {
  return input.cases.map(({ s2, dof }) => {
    const found = facilityPrior(s2.map((relativeVariance, i) => ({ relativeVariance, dof: dof[i] ?? Number.NaN })))
    return {
      s0_2: found.relativeVariance,
      d0: Number.isFinite(found.spreadDof) ? found.spreadDof : 'Infinity',
      d_r: found.dof,
    }
  })
}

/** Kind `study`. */
export function study(input: {
  cases: { y: number[]; mount: string[]; l: number; ell: number; W: number }[]
}): unknown {
  return input.cases.map(({ y, mount, l, ell, W }) => {
    const found = facilityStudy({
      logBandMeans: Float64Array.from(y),
      mountings: mount,
      width_rpm: W,
      localRelSd: l,
      localCorrelation_rpm: ell,
    })
    return {
      v_r: found.repeatVariance,
      repeat_dof_pooled: found.repeatDof,
      raw: found.rawMountVariance,
      mount_rel_sd: found.mountRelSd,
      mount_dof: found.mountDof,
      repeat_global_rel_sd: found.repeatRelSd,
    }
  })
}
