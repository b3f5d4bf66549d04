import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import type { Check } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides ran on the same drive tyre, by id and size.
 *
 * `met` when equal on every run; `breached` when not; `not-evidenced` when a run names no tyre or the tyre no size.
 * Basis: common practice, no source.
 */
export const tyreMatched: Check = {
  name: 'tyre-matched',
  compares: 'id and size of the drive tyre',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/driveTyre', 'driveTyre/id', 'driveTyre/size'],
  observe: (evidence) =>
    sameOnEveryRun(
      evidence.session.used,
      [
        { name: 'drive tyre', read: ({ setup }) => setup.driveTyre ?? null },
        { name: 'tyre size', read: (run) => sizeOf(evidence, run) },
      ],
      {
        same: 'Both sides ran on the same drive tyre.',
        ifDifferent: 'Run both sides on one tyre; another tyre changes roll-out and loss.',
        ifMissing: 'Name the drive tyre of every run with the size on its sidewall.',
      },
    ),
}

function sizeOf({ session }: Evidence, run: SessionRun): string | null {
  return session.comparison.driveTyres?.find(({ id }) => id === run.setup.driveTyre)?.size ?? null
}
