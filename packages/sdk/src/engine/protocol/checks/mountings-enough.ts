import { type Check, notEvidenced, observation } from '../check.ts'

/**
 * Enough strappings-down to tell the part from the strapping.
 *
 * `met`: one mounting holds both sides, or two or more per side. `marginal`: one per side with a re-mounting value in the
 * facility record. `breached`: one per side without; the gain then holds for these mountings only.
 * Basis: measurement-model §3.5; between-mounting variance cannot be seen with one mounting per side.
 */
export const mountingsEnough: Check = {
  name: 'mountings-enough',
  compares: 'number of mountings of each side',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: ({ session, mountings, record }) => {
    if (session.used.some(({ isMountingKnown }) => !isMountingKnown)) {
      return notEvidenced({
        sentence: 'Not every run says in which mounting it was made.',
        remedy: 'Say for every run which strapping-down it belongs to.',
        runs: session.used.filter(({ isMountingKnown }) => !isMountingKnown).map(({ id }) => id),
        evidence: 'from-records',
      })
    }
    if (mountings.oneHoldsBothSides) {
      return observation('met', { observed: 1, sentence: 'One mounting holds runs of both sides.' })
    }
    const fewest = Math.min(mountings.baseline, mountings.modified)
    if (fewest >= 2) {
      return observation('met', {
        observed: fewest,
        limit: 2,
        unit: 'per side',
        sentence: `At least ${fewest} mountings per side.`,
      })
    }
    const hasValue = record?.mountRelSd != null
    return observation(hasValue ? 'marginal' : 'breached', {
      observed: fewest,
      limit: 2,
      unit: 'per side',
      runs: session.used.map(({ id }) => id),
      sentence: hasValue
        ? 'A side has one mounting only; the re-mounting value of the facility record stands in for the rest.'
        : 'A side has one mounting only, and no re-mounting value is on record: the gain holds as mounted.',
      remedy: 'Re-strap the machine at least twice within each side, or measure both sides in one mounting.',
    })
  },
}
