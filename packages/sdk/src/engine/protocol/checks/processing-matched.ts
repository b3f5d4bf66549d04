import { toSI } from '../../physics/units.ts'
import type { Check } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides were exported with the same smoothing, as declared.
 *
 * It weighs as a gate where a peak is claimed: smoothing lowers a peak, and no later smoothing repairs it; else as scope.
 * Basis: measurement-model §6 and §8.
 */
export const processingMatched: Check = {
  name: 'processing-matched',
  compares: 'declared smoothing kernel and width',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: (evidence, rule) => ({
    ...sameOnEveryRun(
      evidence.session.used,
      [
        { name: 'smoothing kernel', read: ({ processing }) => processing.smoothing?.kernel ?? null },
        {
          name: 'smoothing width',
          read: ({ processing }) => {
            const width = processing.smoothing?.width
            return width === undefined ? null : toSI('rotationalSpeed', width)
          },
          isOptional: true,
        },
      ],
      {
        same: 'Both sides were exported with the same smoothing.',
        ifDifferent: 'Export both sides with one smoothing, best none.',
        ifMissing: 'Say how the exported curves were smoothed: kernel and width, or none.',
      },
    ),
    severity: evidence.isPeakClaimed ? 'gate' : rule.severity,
  }),
}
