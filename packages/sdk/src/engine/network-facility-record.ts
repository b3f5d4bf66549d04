import type { FacilityRecord, RecordGroup } from '../contract/facility.ts'
import { roundSignificant } from './numerics/round-significant.ts'
import { FEWEST_FACILITIES, networkFigure } from './statistics/network-record.ts'

/**
 * A record pooled over other facilities, for a facility that has none: every judgement from it is conditional.
 *
 * Of each group only values that were measured count, and only where six facilities or more have one.
 *
 * @param others records of other facilities, one each.
 * @returns a record whose groups have the status `network`; null where no group has six. Pure; never throws.
 *
 * Source: measurement-model §9.4. Tested: tests/studies/network-record.test.ts.
 */
export function networkFacilityRecord(others: readonly FacilityRecord[]): FacilityRecord | null {
  const repeatability = pooled(others.map((record) => record.repeatability))
  const remounting = pooled(others.map((record) => record.remounting))
  const day = pooled(others.map((record) => record.day))
  if (repeatability === null && remounting === null && day === null) return null
  return {
    ...(repeatability === null ? {} : { repeatability }),
    ...(remounting === null ? {} : { remounting }),
    ...(day === null ? {} : { day }),
  }
}

function pooled(groups: readonly (RecordGroup | undefined)[]): RecordGroup | null {
  const measured = groups.flatMap((group) =>
    group !== undefined && group.status === 'measured' && group.relativeSd > 0
      ? [{ relativeVariance: group.relativeSd ** 2, dof: group.degreesOfFreedom }]
      : [],
  )
  if (measured.length < FEWEST_FACILITIES) return null
  const { relSd, dof } = networkFigure(measured)
  return { relativeSd: roundSignificant(relSd), degreesOfFreedom: roundSignificant(dof), status: 'network' }
}
