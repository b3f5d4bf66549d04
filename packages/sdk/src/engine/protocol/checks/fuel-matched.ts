import type { Check } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides burned the same fuel; the batch counts only where the runs span more than one day.
 *
 * `met` when equal on every run; `breached` when not; `not-evidenced` when a run names none.
 * Basis: common practice, no source.
 */
export const fuelMatched: Check = {
  name: 'fuel-matched',
  compares: 'name of the fuel; batch where the days differ',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/fuel'],
  observe: ({ session }) => {
    const days = new Set(session.used.map(({ day }) => day))
    const name = { name: 'fuel', read: (run: (typeof session.used)[number]) => run.setup.fuel?.name ?? null }
    const batch = { name: 'fuel batch', read: (run: (typeof session.used)[number]) => run.setup.fuel?.batch ?? null }
    return sameOnEveryRun(session.used, days.size > 1 ? [name, batch] : [name], {
      same: 'Both sides burned the same fuel.',
      ifDifferent: 'Run both sides on one fuel from one delivery; another fuel alone can make this difference.',
      ifMissing: 'Write down the fuel of every run, and its batch when the runs span days.',
    })
  },
}
