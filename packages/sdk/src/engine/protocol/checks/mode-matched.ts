import type { Check } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides ran in the same riding mode, with the same traction control and electrical load.
 *
 * `met` when equal on every run; `breached` when not; `not-evidenced` when not recorded.
 * Basis: common practice, no source.
 */
export const modeMatched: Check = {
  name: 'mode-matched',
  compares: 'riding mode, traction control, electrical load',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/mode'],
  observe: ({ session }) =>
    sameOnEveryRun(session.used, [{ name: 'mode', read: ({ setup }) => setup.mode ?? null }], {
      same: 'Riding mode and electrical load were the same on both sides.',
      ifDifferent: 'Run both sides in one riding mode, with traction control off and lights alike.',
      ifMissing: 'Write down riding mode, traction control and lights; write "none" where the machine has no modes.',
    }),
}
