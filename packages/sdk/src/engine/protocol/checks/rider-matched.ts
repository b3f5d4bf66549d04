import { toSI } from '../../physics/units.ts'
import type { Check } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Somebody sat on the machine on both sides or on neither, with the same ballast.
 *
 * `met` when equal on every run; `breached` when not; `not-evidenced` when not recorded. Ballast may be left out altogether.
 * Basis: common practice, no source. Load on the drive tyre changes its loss.
 */
export const riderMatched: Check = {
  name: 'rider-matched',
  compares: 'rider aboard, ballast',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/riderAboard', 'setup/ballast'],
  observe: ({ session }) =>
    sameOnEveryRun(
      session.used,
      [
        { name: 'rider aboard', read: ({ setup }) => setup.riderAboard ?? null },
        {
          name: 'ballast',
          read: ({ setup }) => (setup.ballast === undefined ? null : toSI('mass', setup.ballast)),
          isOptional: true,
        },
      ],
      {
        same: 'Rider and ballast were the same on both sides.',
        ifDifferent: 'Run both sides with the same load on the drive tyre.',
        ifMissing: 'Write down whether somebody sat on the machine, and any ballast.',
      },
    ),
}
