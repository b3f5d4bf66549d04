import { type Check, notEvidenced } from '../check.ts'

/**
 * The comparison was registered as a plan before its first run.
 *
 * A plan is logged by a service and is no part of the comparison, so that data alone never evidence it.
 * Basis: measurement-model §10.
 */
export const plannedBefore: Check = {
  name: 'planned-before',
  compares: 'plan logged before the first run',
  observe: () =>
    notEvidenced({
      sentence: 'No plan was registered before the first run.',
      remedy:
        'Register runs, claim and exclusion rules before the first run: then nobody can say that the best of several was picked.',
      runs: [],
      evidence: 'repeat',
    }),
}
