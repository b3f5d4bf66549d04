import type { Evidence } from '../../evidence/evidence.ts'
import { type Check, observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides ran in the same declared gear; another gear moves the curve along the engine speed and changes the loss.
 *
 * `met` when equal on every run; `breached` when not; `not-applicable` with a continuously variable drive.
 * Basis: common practice, no source.
 */
export const gearMatched: Check = {
  name: 'gear-matched',
  compares: 'declared gears',
  statuses: ['met', 'breached', 'not-evidenced', 'not-applicable'],
  observe: (evidence) =>
    isContinuouslyVariable(evidence)
      ? observation('not-applicable', { sentence: 'The drive is continuously variable; it has no gears to match.' })
      : sameOnEveryRun(evidence.session.used, [{ name: 'gear', read: ({ setup }) => setup.gear ?? null }], {
          same: 'Both sides ran in the same gear.',
          ifDifferent: 'Run both sides in one gear, the one nearest to direct drive.',
          ifMissing: 'Write down the gear of every run.',
        }),
}

function isContinuouslyVariable({ session }: Evidence): boolean {
  const named = new Set(session.used.map(({ setup }) => setup.vehicle))
  const vehicles = (session.comparison.vehicles ?? []).filter(({ id }) => named.has(id))
  return vehicles.length > 0 && vehicles.every(({ transmission }) => transmission === 'continuously-variable')
}
