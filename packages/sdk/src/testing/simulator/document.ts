import type { Change, Comparison, Facility, Mounting, Vehicle } from '../../contract/index.ts'
import type { Random } from '../random.ts'
import { documentIds, mountingId } from './document-ids.ts'
import { facilityRecord, simulatedScope } from './facility-record.ts'
import type { Machine } from './machine.ts'
import type { MeasuredRun } from './measured-run.ts'
import { withPaperFaults } from './paper-fault.ts'
import type { WholeRecipe } from './recipe.ts'
import { dateOfDay, timeOf } from './session-clock.ts'
import { writtenRun } from './written-run.ts'

/** A session before it is written down. */
export interface UnwrittenSession {
  /** The recipe. */
  readonly recipe: WholeRecipe
  /** Every run in order, conditioning runs included. */
  readonly runs: readonly MeasuredRun[]
  /** Stream for what the paperwork draws. */
  readonly random: Random
}

/** The document an operator with complete records hands in. */
export function comparisonOf({ recipe, runs, random }: UnwrittenSession): Comparison {
  const written = runs.map((run, index) => writtenRun(run, index, recipe))
  const whole: Comparison = {
    protocol: recipe.protocol,
    reportIn: 'un-r85',
    facility: facilityOf(recipe, random),
    vehicles: [vehicleOf(recipe.machine)],
    driveTyres: [
      {
        id: documentIds.driveTyre,
        size: recipe.machine.tyreSize,
        maxPressure: { value: 290, unit: 'kPa' },
        speedSymbol: 'W',
      },
    ],
    changes: [changeUnderTest(recipe)],
    mountings: mountingsOf(runs, random.fork('strap readings').normal),
    runs: written,
    claims: recipe.claims,
  }
  return withPaperFaults(whole, recipe.faults, random)
}

function facilityOf(recipe: WholeRecipe, random: Random): Facility {
  const { machine } = recipe
  const record = facilityRecord(recipe.noise, recipe.disclosure, random.fork('record'))
  return {
    id: 'simulated-cell',
    altitude: { value: 120, unit: 'm' },
    rollers: [
      {
        id: documentIds.rollers,
        kind: 'inertia',
        inertia: { value: machine.rollerInertia_kg_m2, unit: 'kg m2' },
        rollerRadius: { value: machine.rollerRadius_m, unit: 'm' },
        calibratedOn: '2026-01-10',
      },
    ],
    ...(record === undefined ? {} : { record }),
  }
}

function vehicleOf({ primary, gears, final }: Machine): Vehicle {
  return {
    id: documentIds.vehicle,
    label: simulatedScope.machine,
    class: simulatedScope.class,
    frameNumberDigest: '5f'.repeat(32),
    odometer: { value: 4210, unit: 'km' },
    transmission: 'stepped',
    gearing: { primary, gears, final },
    engine: { cycle: 'four-stroke', ignition: 'spark', aspiration: 'natural', fuelling: 'injection' },
  }
}

function changeUnderTest({ design, pace }: WholeRecipe): Change {
  const onRollers = !design.includes('|') && !design.includes('/')
  const minutes = Math.round((onRollers ? pace.swap_s : pace.remounting_s) / 60)
  return { what: 'simulated part', role: 'under-test', swap: { onRollers, reversible: true, minutes } }
}

/** Scatter of the strap tension that an operator reaches. [N] */
const TENSION_SD_N = 20

function mountingsOf(runs: readonly MeasuredRun[], normal: () => number): readonly Mounting[] {
  const firsts = runs.filter(({ state }, k) => state.slot.mounting !== runs[k - 1]?.state.slot.mounting)
  return firsts.map(({ state }): Mounting => {
    const tension = () =>
      ({ value: Math.round(state.strapTension_N.written + TENSION_SD_N * normal()), unit: 'N' }) as const
    return {
      id: mountingId(state.slot.mounting),
      at: timeOf(state.slot, -600),
      strapping: simulatedScope.strapping,
      straps: [
        { position: 'rear-left', tension: tension() },
        { position: 'rear-right', tension: tension() },
      ],
      setup: {
        vehicle: documentIds.vehicle,
        rollers: documentIds.rollers,
        driveTyre: documentIds.driveTyre,
        tune: 'as delivered',
        mode: 'no modes, lights on',
        fan: 'large fan, doors shut',
        extraction: 'hose at the tail pipe',
        riderAboard: false,
        fuel: { name: 'unleaded 95', batch: dateOfDay(0) },
        sweep: { startSpeed: { value: 3000, unit: 'rpm' } },
      },
    }
  })
}
