import type { Sweep } from '../../../contract/mounting.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { toSI } from '../../physics/units.ts'
import { type Check, graded, limitOf, notEvidenced, type Observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides swept alike. Braked: load mode and set rate. Inertia: equivalent inertia and start speed only, since the
 * realised rate follows from the power itself.
 *
 * Spread = (largest − smallest) / mean, worst member. [%] `met` up to `limits.spread.met`, `marginal` up to `.marginal`.
 * Basis: common practice, no source.
 */
export const sweepMatched: Check = {
  name: 'sweep-matched',
  compares: 'braked: set rate and load mode; inertia: equivalent inertia and start speed',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  owns: ['setup/sweep', 'rollers/kind', 'rollers/inertia'],
  observe: (evidence, rule) => {
    const members = membersOf(evidence)
    if (members === null)
      return missing(evidence, 'Whether the rollers are braked or work by inertia alone is not recorded.')

    const mode = members.isBraked
      ? sameOnEveryRun(
          evidence.session.used,
          [{ name: 'load mode', read: ({ setup }) => setup.sweep?.mode ?? null }],
          MODE_WORDS,
        )
      : null
    if (mode !== null && mode.status !== 'met') return mode
    const spreads = members.quantities.map(({ name, read }) => ({
      name,
      spread: spread_percent(evidence.session.used, read),
    }))
    const worst = spreads.reduce((a, b) => (Number.isNaN(a.spread) || a.spread >= b.spread ? a : b))
    if (Number.isNaN(worst.spread)) return missing(evidence, `Not recorded for every run: ${worst.name}.`)
    return graded({
      observed: worst.spread,
      limit: limitOf(rule, 'spread'),
      sentence: `The ${worst.name} differs by ${worst.spread.toFixed(1)} % between runs.`,
      remedy:
        'Sweep both sides alike: one load mode and rate, or one inertia and one engine speed at which full throttle begins.',
      runs: evidence.session.used.map(({ id }) => id),
    })
  },
}

const MODE_WORDS = {
  same: '',
  ifDifferent: 'Sweep both sides in one load mode.',
  ifMissing: 'Write down the load mode of the sweep.',
}

interface Quantity {
  readonly name: string
  readonly read: (run: SessionRun) => number | null
}

function membersOf({ session }: Evidence): { isBraked: boolean; quantities: readonly Quantity[] } | null {
  const rollers = session.comparison.facility?.rollers ?? []
  const rollersOf = (run: SessionRun) => rollers.find(({ id }) => id === run.setup.rollers)
  const kinds = new Set(session.used.map((run) => rollersOf(run)?.kind))
  const [kind] = kinds
  if (kinds.size !== 1 || kind === undefined) return null
  const sweep = (read: (sweep: Sweep) => number | null) => (run: SessionRun) =>
    run.setup.sweep === undefined ? null : read(run.setup.sweep)
  if (kind === 'braked') {
    const rate = sweep(({ rate }) => (rate === undefined ? null : toSI('rotationalAcceleration', rate)))
    return { isBraked: true, quantities: [{ name: 'set rate', read: rate }] }
  }
  const inertia = (run: SessionRun) => {
    const own = run.setup.sweep?.inertia ?? rollersOf(run)?.inertia
    return own === undefined ? null : toSI('inertia', own)
  }
  const start = sweep(({ startSpeed }) => (startSpeed === undefined ? null : toSI('rotationalSpeed', startSpeed)))
  return {
    isBraked: false,
    quantities: [
      { name: 'equivalent inertia', read: inertia },
      { name: 'start speed', read: start },
    ],
  }
}

/** Spread over the mean; NaN when a run did not record it. [%] */
function spread_percent(runs: readonly SessionRun[], read: (run: SessionRun) => number | null): number {
  const values = runs.map((run) => read(run) ?? Number.NaN)
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return (100 * (Math.max(...values) - Math.min(...values))) / mean
}

function missing({ session }: Evidence, sentence: string): Observation {
  return notEvidenced({
    sentence,
    remedy:
      'Write down how the sweep was set: for a brake its mode and rate, for inertia rollers their inertia and the start speed.',
    runs: session.used.map(({ id }) => id),
    evidence: 'from-records',
  })
}
