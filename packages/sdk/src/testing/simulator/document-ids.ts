/** Ids that the simulated documents use. */
export const documentIds = { vehicle: 'v1', rollers: 'r1', driveTyre: 't1' } as const

/** Id of a mounting, counted from 0. */
export function mountingId(mounting: number): string {
  return `m${mounting + 1}`
}
