/** Comparisons that a check gives one status to, and the small changes they are made by. */
import type {
  Comparison,
  Conditions,
  Finding,
  FindingStatus,
  Processing,
  Run,
  Setup,
} from '../../packages/sdk/src/contract/index.ts'
import { type Evidence, evidenceOf } from '../../packages/sdk/src/engine/evidence/evidence.ts'
import { readSession } from '../../packages/sdk/src/engine/inputs/session.ts'
import { findingOf } from '../../packages/sdk/src/engine/protocol/check.ts'
import { protocolOf } from '../../packages/sdk/src/engine/protocol/protocol-of.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'

/** A comparison and the status that a check gives to it. */
export interface Fixture {
  /** What is so, in a few words. */
  readonly title: string
  /** The status. */
  readonly status: FindingStatus
  /** The comparison. */
  readonly comparison: Comparison
  /** Named limit of the row, and which bound of it, that the observed value lies at or one step beyond. */
  readonly at?: BoundPlace
}

/** Where an observed value lies. */
export interface BoundPlace {
  /** Name of the limit in the row. */
  readonly limit: string
  /** Which of its two bounds. */
  readonly bound: 'met' | 'marginal'
  /** On the bound, or one step beyond it. */
  readonly step: 'on' | 'beyond'
  /** The bound that comes of it, where the check derives it from the row. */
  readonly value?: number
}

/** Fixtures by check. */
export type Fixtures = Readonly<Record<string, readonly Fixture[]>>

/** A-B-A, three runs a block, one mounting, everything recorded: nothing is breached. */
export const valid = demoComparison('air-filter', 1)

/** Three mountings of each side, one measured run in each. */
export const remounted = demoComparison('intake-trumpets', 1)

/** Checks of the protocol, with their rows. */
export const { rows } = protocolOf(valid.protocol)

/** What the engine makes of a comparison before any check looks. */
export function evidenceFor(comparison: Comparison): Evidence {
  return evidenceOf(readSession(comparison))
}

/** What a check finds. @throws Error when the protocol has none of that name */
export function finding(check: string, comparison: Comparison): Finding {
  const row = rows.find((each) => each.check.name === check)
  if (row === undefined) throw new Error(`no check ${check}`)
  return findingOf(row, evidenceFor(comparison))
}

/** A change to one run. */
export type Change = (run: Run) => Run

export const onEvery = (change: Change, comparison = valid): Comparison => ({
  ...comparison,
  runs: comparison.runs.map(change),
})
export const onModified = (change: Change, comparison = valid): Comparison =>
  onEvery((run) => (run.side === 'modified' ? change(run) : run), comparison)
export const sides = (baseline: Change, modified: Change): Comparison =>
  onEvery((run) => (run.side === 'modified' ? modified(run) : baseline(run)))

export const setup =
  (members: Partial<Setup>): Change =>
  (run) => ({ ...run, setup: { ...run.setup, ...members } })
export const conditions =
  (members: Partial<Conditions>): Change =>
  (run) => ({ ...run, conditions: { ...run.conditions, ...members } })
export const processing =
  (members: Partial<Processing>): Change =>
  (run) => ({ ...run, processing: { ...run.processing, ...members } })

/** An object without one of its members. */
export function omit<T extends object>(whole: T, ...names: readonly (keyof T)[]): T {
  const gone: readonly PropertyKey[] = names
  return Object.fromEntries(Object.entries(whole).filter(([name]) => !gone.includes(name))) as T
}

/** The comparison with a member of the setup recorded nowhere. */
export const withoutSetup = (name: keyof Setup, comparison = valid): Comparison => ({
  ...onEvery((run) => ({ ...run, setup: omit(run.setup ?? {}, name) }), comparison),
  mountings: (comparison.mountings ?? []).map((mounting) => ({ ...mounting, setup: omit(mounting.setup ?? {}, name) })),
})
/** The comparison with members of the conditions recorded nowhere. */
export const withoutConditions = (...names: readonly (keyof Conditions)[]): Comparison =>
  onEvery((run) => ({ ...run, conditions: omit(run.conditions ?? {}, ...names) }))

export const celsius = (value: number) => ({ value, unit: 'degC' }) as const

/** Measured runs of a side, in order. */
export const measured = (side: Run['side'], comparison = valid): readonly Run[] =>
  comparison.runs.filter((run) => run.side === side && run.purpose === 'measured')

/** The comparison with only some of its runs. */
export const keeping = (isKept: (run: Run) => boolean, comparison = valid): Comparison => ({
  ...comparison,
  runs: comparison.runs.filter(isKept),
})

/** The run with its power and torque multiplied. */
export const scaled =
  (factor: number): Change =>
  (run) => {
    const { channels } = run
    if (channels === undefined) return run
    const times = <T extends { readonly values?: readonly number[] }>(channel: T): T => ({
      ...channel,
      values: (channel.values ?? []).map((value) => value * factor),
    })
    const { wheelPower, torque } = channels
    return {
      ...run,
      channels: {
        ...channels,
        ...(wheelPower === undefined ? {} : { wheelPower: times(wheelPower) }),
        ...(torque === undefined ? {} : { torque: times(torque) }),
      },
    }
  }

/** Steps that close the bracket to the last digits of a double. */
const HALVINGS = 60

/** The comparison of a family at which a check observes a value; the observed value must rise along the family. */
export function observing(
  check: string,
  value: number,
  family: (x: number) => Comparison,
  [low, high]: readonly [number, number],
): Comparison {
  let [below, above] = [low, high]
  for (let halving = 0; halving < HALVINGS && above - below > 1e-12 * Math.abs(above); halving += 1) {
    const middle = (below + above) / 2
    const { observed } = finding(check, family(middle))
    if (Number(observed) < value) below = middle
    else above = middle
  }
  return family(above)
}

/** Fixtures on both bounds of a limit and one step beyond each, for a family of which the check observes `x` itself. */
export function bounds(
  limit: string,
  { met, marginal }: { readonly met: number; readonly marginal: number },
  family: (observed: number) => Comparison,
  beyond: (bound: number) => number = (bound) => bound * 1.01,
): readonly Fixture[] {
  const place = (bound: 'met' | 'marginal', step: 'on' | 'beyond'): BoundPlace => ({ limit, bound, step })
  const inner: readonly Fixture[] = [
    { title: `${limit} on the inner bound`, status: 'met', comparison: family(met), at: place('met', 'on') },
  ]
  const outer: readonly Fixture[] = [
    {
      title: `${limit} beyond the inner bound`,
      status: 'marginal',
      comparison: family(beyond(met)),
      at: place('met', 'beyond'),
    },
    {
      title: `${limit} on the outer bound`,
      status: 'marginal',
      comparison: family(marginal),
      at: place('marginal', 'on'),
    },
  ]
  const last: Fixture = {
    title: `${limit} beyond the outer bound`,
    status: 'breached',
    comparison: family(beyond(marginal)),
    at: place(met === marginal ? 'met' : 'marginal', 'beyond'),
  }
  return met === marginal ? [...inner, last] : [...inner, ...outer, last]
}
