import { FEWEST_MOUNTINGS, facilityStudy } from '../statistics/facility-study.ts'
import { nestedFigures, type RecordFigure } from '../statistics/nested-figures.ts'
import type { BandMeans } from './study-evidence.ts'

/** What a study gives for the re-mounting and the day of a record. */
export interface MountingFigures {
  /** Between mountings; null with too few. */
  readonly mount: RecordFigure | null
  /** Between days; null where they are not told apart, or too few. */
  readonly day: RecordFigure | null
  /** Whether the figure of the mountings holds what lies between days. */
  readonly isDayInMount: boolean
}

/** Fewest days of a day figure: as many as mountings of a re-mounting figure. */
export const FEWEST_DAYS = FEWEST_MOUNTINGS

/** Fewest degrees of freedom of a re-mounting figure: those of four mountings. */
const FEWEST_DOF = FEWEST_MOUNTINGS - 1

/**
 * Re-mounting and day figures. Where days hold several mountings, enough for three degrees of freedom within the days, the
 * mountings are held against those of their own day; else all against each other, and the days are in it.
 *
 * @param figures of the study.
 * @param noise v_r of the runs and what facilityStudy takes. Pure; never throws.
 *
 * Source: measurement-model §9.2.
 */
export function mountingFigures(
  { log, mountings, layout }: BandMeans,
  noise: { readonly repeatVariance: number; readonly width_rpm: number },
): MountingFigures {
  const days = layout.days.length
  if (days > 1 && layout.mountings - days >= FEWEST_DOF) {
    const { mount, day } = nestedFigures(layout, noise.repeatVariance)
    return { mount, day: days < FEWEST_DAYS ? null : day, isDayInMount: false }
  }
  const isDayInMount = layout.isDayInMounting || days > 1
  if (layout.mountings < FEWEST_MOUNTINGS) return { mount: null, day: null, isDayInMount }
  const { mountRelSd, mountDof } = facilityStudy({
    ...{ logBandMeans: log, mountings, width_rpm: noise.width_rpm },
    // The local noise enters the run-to-run figure only.
    ...{ localRelSd: 0, localCorrelation_rpm: 1 },
  })
  return { mount: { relSd: mountRelSd, dof: mountDof }, day: null, isDayInMount }
}
