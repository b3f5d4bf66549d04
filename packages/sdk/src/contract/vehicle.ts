/** The machines and tyres of a comparison, and what was changed on them. */
import type { Setup } from './mounting.ts'
import type { Quantity } from './units.ts'

/** A machine that was measured. */
export interface Vehicle {
  /** Identity within this document, referred to by runs. */
  readonly id: string
  /** Name a reader knows it by; a facility record that was made with this machine names it so. */
  readonly label?: string
  /** Class of machines that repeat alike, in the words of the facility record. */
  readonly class?: string
  /** SHA-256 of the frame number with a salt of the owner's, so that the number itself stays private. */
  readonly frameNumberDigest?: string
  /** Odometer at the first run. [length] */
  readonly odometer?: Quantity<'length'>
  /** Fixed ratios, or a continuously variable drive. */
  readonly transmission?: 'stepped' | 'continuously-variable'
  /** Ratios between crankshaft and wheel. */
  readonly gearing?: Gearing
  /** What kind of engine it has. */
  readonly engine?: Engine
}

/** Reduction ratios between crankshaft and driven wheel, each above 0. */
export interface Gearing {
  /** Crankshaft to gearbox input. [1] */
  readonly primary: number
  /** Gearbox ratios, first gear first. [1] */
  readonly gears: readonly number[]
  /** Gearbox output to wheel. [1] */
  readonly final: number
}

/** The kind of engine, as far as the correction and the mixture checks depend on it. */
export interface Engine {
  /** Strokes per working cycle. */
  readonly cycle: 'four-stroke' | 'two-stroke'
  /** How the mixture is lit. */
  readonly ignition: 'spark' | 'compression'
  /** Naturally aspirated or boosted. */
  readonly aspiration: 'natural' | 'boosted'
  /** How the fuel is metered. */
  readonly fuelling: 'carburettor' | 'injection'
}

/** The tyre that drives the rollers. */
export interface DriveTyre {
  /** Identity within this document, referred to by runs. */
  readonly id: string
  /** Size as on the sidewall, for example `180/55ZR17`. */
  readonly size?: string
  /** Highest pressure marked on the sidewall, gauge. [pressure] */
  readonly maxPressure?: Quantity<'pressure'>
  /** Speed symbol as on the sidewall, for example `W`. */
  readonly speedSymbol?: string
}

/** A declared difference between the sides. */
export interface Change {
  /** What was changed, in a few words. */
  readonly what: string
  /** Whether the change is what is being tested, or came along with it. */
  readonly role: 'under-test' | 'other'
  /** Members of the setup in which the change shows, for example `tune`; their difference then counts as declared. */
  readonly accountsFor?: readonly (keyof Setup)[]
  /** How the change is made, for the advice on what to redo. */
  readonly swap?: Swap
}

/** How a change is fitted and taken off. */
export interface Swap {
  /** Whether it can be done while the machine stays strapped down. */
  readonly onRollers: boolean
  /** Whether it can be undone. */
  readonly reversible: boolean
  /** Working time. [min], at or above 0 */
  readonly minutes: number
}
