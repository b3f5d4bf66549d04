import type { Comparison, Mounting, Run } from '../../contract/index.ts'
import type { Random } from '../random.ts'
import type { Fault, MissingEvidence } from './fault.ts'
import { rounded } from './written-run.ts'

/** A document with the faults that happen when it is written, not on the rollers. */
export function withPaperFaults(comparison: Comparison, faults: readonly Fault[], random: Random): Comparison {
  return faults.reduce((faulty, fault) => withPaperFault(faulty, fault, random), comparison)
}

function withPaperFault(comparison: Comparison, fault: Fault, random: Random): Comparison {
  switch (fault.kind) {
    case 'duplicate':
      return { ...comparison, runs: withCopy(comparison.runs, fault, random.fork('copy')) }
    case 'order':
      return { ...comparison, runs: withTimesExchanged(comparison.runs) }
    case 'unaccounted':
      return { ...comparison, runs: withCounterGap(comparison.runs, fault.runs) }
    case 'missing':
      return withoutEvidence(comparison, fault)
    default:
      return comparison
  }
}

/** The last measured run becomes the first of its side again. */
function withCopy(
  runs: readonly Run[],
  { rescale_1, noise_1 }: Extract<Fault, { kind: 'duplicate' }>,
  random: Random,
): readonly Run[] {
  const last = runs.findLast(({ purpose }) => purpose === 'measured')
  const original = runs.find(({ purpose, side }) => purpose === 'measured' && side === last?.side)
  const channels = original?.channels
  const power = channels?.wheelPower?.values
  if (last === undefined || last === original || power === undefined) return runs
  const copied = power.map((value) => rounded(value * rescale_1 * (1 + noise_1 * random.normal()), 4))
  const { torque: _, ...columns } = channels ?? {}
  return runs.map((run) =>
    run === last ? { ...run, channels: { ...columns, wheelPower: { unit: 'kW', values: copied } } } : run,
  )
}

/** The second and third measured runs exchange their start times. */
function withTimesExchanged(runs: readonly Run[]): readonly Run[] {
  const [, second, third] = runs.filter(({ purpose }) => purpose === 'measured')
  if (second?.startedAt === undefined || third?.startedAt === undefined) return runs
  const [early, late] = [second.startedAt, third.startedAt]
  return runs.map((run) => {
    if (run === second) return { ...run, startedAt: late }
    return run === third ? { ...run, startedAt: early } : run
  })
}

/** The rig counted runs between the first half of the session and the second that the document does not name. */
function withCounterGap(runs: readonly Run[], missing: number): readonly Run[] {
  const middle = Math.ceil(runs.length / 2)
  return runs.map((run, k) =>
    k < middle || run.counter === undefined ? run : { ...run, counter: run.counter + missing },
  )
}

function withoutEvidence(comparison: Comparison, fault: Extract<Fault, { kind: 'missing' }>): Comparison {
  const concerned = (run: Run) => fault.side === 'both' || run.side === fault.side
  return {
    ...comparison,
    ...(fault.what === 'mountings' ? { mountings: [] } : {}),
    ...(fault.what === 'fuel' ? { mountings: comparison.mountings?.map(withoutFuel) ?? [] } : {}),
    runs: comparison.runs.map((run) => (concerned(run) ? withoutMember(run, fault.what, comparison) : run)),
  }
}

function withoutFuel({ setup, ...mounting }: Mounting): Mounting {
  const { fuel: _, ...rest } = setup ?? {}
  return { ...mounting, setup: rest }
}

function withoutMember(run: Run, what: MissingEvidence, comparison: Comparison): Run {
  switch (what) {
    case 'air': {
      const { coolantTemperature, oilTemperature } = run.conditions ?? {}
      return {
        ...run,
        conditions: {
          ...(coolantTemperature === undefined ? {} : { coolantTemperature }),
          ...(oilTemperature === undefined ? {} : { oilTemperature }),
        },
      }
    }
    case 'engine-temperature': {
      const { coolantTemperature: _, oilTemperature: __, ...conditions } = run.conditions ?? {}
      return { ...run, conditions }
    }
    case 'tyre-pressure': {
      const { tyrePressure: _, ...setup } = run.setup ?? {}
      return { ...run, setup }
    }
    case 'gear': {
      const { gear: _, ...setup } = run.setup ?? {}
      return { ...run, setup }
    }
    case 'start-times': {
      const { startedAt: _, ...rest } = run
      return rest
    }
    case 'counters': {
      const { counter: _, ...rest } = run
      return rest
    }
    case 'mountings':
      return withoutMounting(run, comparison)
    case 'mixture': {
      const { mixture: _, ...channels } = run.channels ?? {}
      return run.channels === undefined ? run : { ...run, channels }
    }
    case 'roller-speed': {
      const { rollerSpeed: _, ...channels } = run.channels ?? {}
      return run.channels === undefined ? run : { ...run, channels }
    }
    case 'fuel':
      return run
  }
}

/** Which strapping a run belongs to is forgotten, not how the machine was set. */
function withoutMounting({ mounting, ...run }: Run, comparison: Comparison): Run {
  const setup = comparison.mountings?.find(({ id }) => id === mounting)?.setup
  return { ...run, setup: { ...setup, ...run.setup } }
}
