import type { GradedLimit } from '../../contract/protocol.ts'
import { gradeAtLeast, type Observation, observation } from './check.ts'

/** What it takes to grade a number that must not be small. */
interface GradedAtLeast {
  readonly observed: number
  readonly limit: GradedLimit
  readonly sentence: string
  readonly remedy: string
  readonly runs: readonly string[]
}

/** An observation graded at least; the limit printed is the one that decided. */
export function gradedAtLeast({ observed, limit, sentence, remedy, runs }: GradedAtLeast): Observation {
  const status = gradeAtLeast(observed, limit)
  return observation(status, {
    observed,
    limit: status === 'met' ? limit.met : limit.marginal,
    unit: limit.unit,
    runs: status === 'met' ? [] : runs,
    sentence,
    remedy,
    closeness: (status === 'met' ? limit.met : limit.marginal) / observed,
  })
}
