import type { Check } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides had the same fan, doors and exhaust extraction.
 *
 * `met` when equal on every run; `breached` when not; `not-evidenced` when a run leaves one out.
 * Basis: common practice, no source.
 */
export const coolingMatched: Check = {
  name: 'cooling-matched',
  compares: 'fan, doors, exhaust extraction',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/fan', 'setup/extraction'],
  observe: ({ session }) =>
    sameOnEveryRun(
      session.used,
      [
        { name: 'fan', read: ({ setup }) => setup.fan ?? null },
        { name: 'extraction', read: ({ setup }) => setup.extraction ?? null },
      ],
      {
        same: 'Fan and exhaust extraction were the same on both sides.',
        ifDifferent: 'Keep fan, doors and extraction as they are from the first run to the last.',
        ifMissing: 'Write down fan, doors and exhaust extraction.',
      },
    ),
}
