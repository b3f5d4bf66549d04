/**
 * The bench of the demo: a cell, a machine and a tyre that exist nowhere. Names are plain descriptions on purpose, so that
 * nobody takes them for somebody's.
 */
import type { Comparison, DriveTyre, Facility, Mounting, Vehicle } from '@fairpull/sdk/contract'
import { type Machine, type Noise, ordinaryNoise, referenceMachine } from '@fairpull/sdk/testing'

/** Where the demo's runs were made. It has no record of how well it repeats: most have none. */
export const demoFacility: Facility = {
  id: 'demo-test-cell',
  altitude: { value: 120, unit: 'm' },
  rollers: [
    {
      id: 'r1',
      kind: 'inertia',
      inertia: { value: referenceMachine.rollerInertia_kg_m2, unit: 'kg m2' },
      rollerRadius: { value: referenceMachine.rollerRadius_m, unit: 'm' },
      calibratedOn: '2026-01-10',
    },
  ],
}

/** The machine of the demo. */
export const demoVehicle: Vehicle = {
  id: 'v1',
  label: 'Demo twin, 800 cc (invented)',
  frameNumberDigest: '3c1d0f5b8a7e42966d0be1c7f24a9d5583b6ce07d91f4a2e6b80c35d7fe914a2',
  odometer: { value: 8140, unit: 'km' },
  transmission: 'stepped',
  gearing: { primary: referenceMachine.primary, gears: referenceMachine.gears, final: referenceMachine.final },
  engine: { cycle: 'four-stroke', ignition: 'spark', aspiration: 'natural', fuelling: 'injection' },
}

/** Its drive tyre. */
export const demoTyre: DriveTyre = {
  id: 't1',
  size: referenceMachine.tyreSize,
  maxPressure: { value: 290, unit: 'kPa' },
  speedSymbol: 'W',
}

/** How the demo's figures scatter: from run to run and from mounting to mounting as said, without drift. */
export function demoNoise(sizes: { readonly repeatability_1: number; readonly remounting_1: number }): Noise {
  return {
    ...ordinaryNoise,
    ...sizes,
    heterogeneity_1: 0,
    local_1: 0.002,
    tilt_1: sizes.remounting_1 / 3,
    day_1: 0,
    driftPerRun_1: 0,
    sample_1: 0.0005,
  }
}

/** Sweeps are recorded ten times a second: coarse, but a person can read the file. */
export const demoSampling = { by: 'time', rate_Hz: 10 } as const

/** A simulated document with the demo's cell, machine and tyre in the place of the simulator's. */
export function onDemoBench(simulated: Comparison): Comparison {
  return {
    ...simulated,
    facility: demoFacility,
    vehicles: [demoVehicle],
    driveTyres: [demoTyre],
    mountings: (simulated.mountings ?? []).map(withDemoSetup),
  }
}

function withDemoSetup(mounting: Mounting): Mounting {
  return {
    ...mounting,
    setup: {
      ...mounting.setup,
      tune: 'standard map',
      mode: 'full power, traction control off, lights on',
      fan: 'cell fan at full speed, doors shut',
      extraction: 'hose over the tail pipe',
      fuel: { name: 'unleaded 95', batch: 'drum 7' },
    },
  }
}

/** The demo's machine as the simulator knows it. */
export const demoMachine: Machine = referenceMachine
