import type { Comparison } from '../../contract/index.ts'
import { createRandom, type Random } from '../random.ts'
import type { CellAir } from './air.ts'
import { curveOf, type RunCurve } from './curve.ts'
import { blocksOf, driftCovariates, type Slot, slotsOf } from './design.ts'
import { comparisonOf } from './document.ts'
import { withFaults } from './faulty-run.ts'
import { requireGain, trueValueOf } from './gain.ts'
import type { MeasuredRun } from './measured-run.ts'
import { sessionNoise } from './noise.ts'
import { type SessionRecipe, type WholeRecipe, wholeRecipe } from './recipe.ts'
import { type RunState, soundRun } from './run-state.ts'
import { requireSampling, type SamplingContext, samplesOf } from './samples.ts'
import type { TrueRun, Truth } from './truth.ts'

/** A simulated session: the document that would be submitted, and what really happened. */
export interface SimulatedSession {
  /** The document. */
  readonly comparison: Comparison
  /** What is true of it. */
  readonly truth: Truth
}

/**
 * Simulates a session from first conditioning run to submitted document.
 *
 * @throws RangeError when the design cannot be read; EngineError `ERR_OUT_OF_RANGE` when the gain has no known shape or lacks a
 *   number of it, or the sampling has no step.
 */
export function simulateSession(recipe: SessionRecipe): SimulatedSession {
  const whole = wholeRecipe(recipe)
  requireGain(whole.gain)
  requireSampling(whole.sampling)
  const random = createRandom(whole.seed)
  const noise = sessionNoise(whole.noise, whole.trend, random.fork('noise'))
  const { machine, gain, sampling, channels } = whole
  const context = { machine, gain, noise, random, sampling, channels }
  const states = runStates(whole, random)
  const runs = states.map((state, index) => measured(state, index, context))
  return {
    comparison: comparisonOf({ recipe: whole, runs, random: random.fork('document') }),
    truth: {
      recipe: whole,
      noise,
      runs: runs.flatMap(({ state, curve }) => (curve === null ? [] : trueRun(state, curve))),
      claims: whole.claims.map((claim) => ({ claim: claim.id, value: trueValueOf(claim, whole.machine, whole.gain) })),
    },
  }
}

function measured(state: RunState, index: number, context: SamplingContext): MeasuredRun {
  if (state.slot.purpose !== 'measured') return { state, curve: null, samples: null }
  const curve = curveOf(state, index, context)
  return { state, curve, samples: samplesOf(curve, state, index, context) }
}

/** Every run of the session with its air, temperatures and faults. */
export function runStates(recipe: WholeRecipe, random: Random): readonly RunState[] {
  const slots = slotsOf(blocksOf(recipe.design), recipe.runsPerBlock, recipe.pace, random.fork('cadence').normal)
  const measuredSlots = slots.filter(({ purpose }) => purpose === 'measured')
  const covariates = new Map(driftCovariates(measuredSlots).map((t, k) => [measuredSlots[k], t]))
  const air = airOfSession(random.fork('air'))
  const lastModified = measuredSlots.findLast(({ side }) => side === 'modified')
  const counts = { baseline: 0, modified: 0, conditioning: 0 }
  return slots.map((slot, index) => {
    const kind = slot.purpose === 'conditioning' ? 'conditioning' : slot.side
    counts[kind] += 1
    const id = `${kind === 'baseline' ? 'a' : kind === 'modified' ? 'b' : 'w'}${counts[kind]}`
    const next = covariates.get(slot) ?? covariates.get(slots.slice(index).find((later) => covariates.has(later))) ?? 0
    const normal = random.fork(`state ${index}`).normal
    const state = soundRun(id, slot, { machine: recipe.machine, t: next, air: air(slot), normal })
    return withFaults(state, recipe.faults, slot === lastModified)
  })
}

/** Air that changes slowly through a day and is another on each day. */
function airOfSession(random: Random): (slot: Slot) => CellAir {
  const humidity = 0.35 + 0.25 * random.uniform()
  return (slot) => {
    const day = random.fork(`day ${slot.day}`)
    const hours = (slot.start_s - slot.day * 86_400) / 3600
    const stationPressure_Pa = 99_800 + 900 * day.normal() + 30 * day.normal() * hours
    const cell_K = 293.5 + 2.5 * day.normal() + 0.3 * (1 + day.normal()) * hours
    const own = random.fork(`run ${slot.start_s}`)
    const read = (value: number, step: number) => Number((Math.round(value / step) * step).toFixed(2))
    return {
      stationPressure_Pa: read(stationPressure_Pa + 10 * own.normal(), 10),
      cell_K: read(cell_K + 0.1 * own.normal(), 0.1),
      intake_K: read(cell_K + 3 + 0.4 * own.normal(), 0.1),
      relativeHumidity_1: read(humidity + 0.005 * own.normal(), 0.01),
    }
  }
}

function trueRun(state: RunState, { speed_rpm, power_W, factor_1 }: RunCurve): TrueRun {
  return { state, factor_1, speed_rpm, correctedPower_W: power_W.map((power) => power * factor_1) }
}
