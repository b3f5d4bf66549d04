/** Each strapping-down with its setup and conditions. */
import type { Quantity, UnitOf } from './units.ts'

/** One strapping-down of the machine; runs between strapping and unstrapping share it. */
export interface Mounting {
  /** Identity within this document, referred to by runs. */
  readonly id: string
  /** When the machine was strapped down, RFC 3339 with offset. */
  readonly at?: string
  /** Method of strapping down, in the words of the facility record. */
  readonly strapping?: string
  /** Tie-down straps with their tension. */
  readonly straps?: readonly Strap[]
  /** Axle to frame under the straps, by tape measure. [length] */
  readonly suspensionLength?: Quantity<'length'>
  /** Setup that holds for all its runs, where a run does not say otherwise. */
  readonly setup?: Setup
  /** Conditions that hold for all its runs, where a run does not say otherwise. */
  readonly conditions?: Conditions
}

/** One tie-down strap. */
export interface Strap {
  /** Where it pulls, for example `rear-left`. */
  readonly position: string
  /** Tension by load cell. [force] */
  readonly tension?: Quantity<'force'>
  /** Angle from the horizontal. [angle] */
  readonly angle?: Quantity<'angle'>
}

/** What the operator sets. */
export interface Setup {
  /** Id of the vehicle. */
  readonly vehicle?: string
  /** Id of the roller set. */
  readonly rollers?: string
  /** Id of the drive tyre. */
  readonly driveTyre?: string
  /** Gear engaged. [1], 1 to 8 */
  readonly gear?: number
  /** Drive-tyre pressure, gauge, and when it was read. */
  readonly tyrePressure?: TyrePressure
  /** Name of the ignition and fuelling tune. */
  readonly tune?: string
  /** Riding mode, traction control, electrical load. */
  readonly mode?: string
  /** Cooling fan and doors. */
  readonly fan?: string
  /** Exhaust extraction. */
  readonly extraction?: string
  /** Whether somebody sat on the machine. */
  readonly riderAboard?: boolean
  /** Ballast carried. [mass] */
  readonly ballast?: Quantity<'mass'>
  /** Fuel in the tank or supply. */
  readonly fuel?: Fuel
  /** How the sweep was set. */
  readonly sweep?: Sweep
}

/** Drive-tyre pressure and the state it was read in. */
export interface TyrePressure {
  /** Gauge pressure. */
  readonly value: number
  /** Unit of the value. */
  readonly unit: UnitOf<'pressure'>
  /** When it was read: set on a cold tyre, or read hot before or after the run. */
  readonly state: 'set-cold' | 'before-run' | 'after-run'
  /** Tyre temperature when it was read; without it cold and hot readings are not compared. [temperature] */
  readonly tyreTemperature?: Quantity<'temperature'>
}

/** The fuel of a run. */
export interface Fuel {
  /** Name and octane as sold. */
  readonly name: string
  /** Batch or delivery. */
  readonly batch?: string
}

/** How the sweep was set on the rig. */
export interface Sweep {
  /** Load mode of a braked rig, as the rig names it. */
  readonly mode?: string
  /** Set rate of a braked sweep. [rotationalAcceleration] */
  readonly rate?: Quantity<'rotationalAcceleration'>
  /** Engine speed at which full throttle begins. [rotationalSpeed] */
  readonly startSpeed?: Quantity<'rotationalSpeed'>
  /** Equivalent inertia simulated by the rig, where it differs from the rollers' own. [inertia] */
  readonly inertia?: Quantity<'inertia'>
}

/** What was measured around a run. */
export interface Conditions {
  /** Absolute pressure at the rig, not reduced to sea level. [pressure] */
  readonly stationPressure?: Quantity<'pressure'>
  /** Air in the cell. [temperature] */
  readonly cellAirTemperature?: Quantity<'temperature'>
  /** Air at the intake. */
  readonly intakeAirTemperature?: IntakeAirTemperature
  /** Relative humidity. [ratio] */
  readonly relativeHumidity?: Quantity<'ratio'>
  /** Coolant at the start of the run. [temperature] */
  readonly coolantTemperature?: Quantity<'temperature'>
  /** Oil at the start of the run. [temperature] */
  readonly oilTemperature?: Quantity<'temperature'>
}

/** Intake air temperature and where it was read. */
export interface IntakeAirTemperature {
  /** Temperature. */
  readonly value: number
  /** Unit of the value. */
  readonly unit: UnitOf<'temperature'>
  /** Outside the machine (used for matching and correction) or inside the intake tract (shown only). */
  readonly place: 'outside-machine' | 'inside-tract'
}
