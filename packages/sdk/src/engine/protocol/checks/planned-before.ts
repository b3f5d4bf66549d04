import type { Evidence } from '../../evidence/evidence.ts'
import { registrationOf } from '../../inputs/plan-registration.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * The comparison was registered as a plan before its first run.
 *
 * `met` when the log shows the plan before every run; `marginal` when it was amended after the first run; `not-evidenced`
 * without a plan, or when the log does not show it first. Basis: measurement-model §10.
 */
export const plannedBefore: Check = {
  name: 'planned-before',
  compares: 'plan logged before the first run',
  statuses: ['met', 'marginal', 'not-evidenced'],
  observe: ({ session }) => OBSERVED[registrationOf(session.comparison.plan)](session),
}

type Observe = (session: Evidence['session']) => Observation

const OBSERVED: Readonly<Record<'pre-registered' | 'amended' | 'none', Observe>> = {
  'pre-registered': ({ comparison }) =>
    observation('met', {
      sentence: `The plan was logged as entry ${comparison.plan?.logIndex}, before the first run.`,
    }),
  amended: () =>
    observation('marginal', {
      sentence: 'The plan was amended after the first run.',
      remedy: 'Register a new plan and make its runs; one that is changed on the way cannot be pre-registered.',
    }),
  none: () =>
    notEvidenced({
      sentence: 'No plan was registered before the first run.',
      remedy:
        'Register runs, claim and exclusion rules before the first run: then nobody can say that the best of several was picked.',
      runs: [],
      evidence: 'repeat',
    }),
}
