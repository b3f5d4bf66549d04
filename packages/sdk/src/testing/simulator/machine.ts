/** The machine on the rollers: power over engine speed, gearing, tyre, and the rollers that it drives. */
export interface Machine {
  /** Highest wheel power in the reference gear, warm, in reference air. [W] */
  readonly peakPower_W: number
  /** Engine speed at which full throttle begins. [rpm] */
  readonly from_rpm: number
  /** Engine speed at which it ends. [rpm] */
  readonly to_rpm: number
  /** Crankshaft to gearbox input. [1] */
  readonly primary: number
  /** Gearbox ratios, first gear first. [1] */
  readonly gears: readonly number[]
  /** Gearbox output to wheel. [1] */
  readonly final: number
  /** Gear in which the power above was defined. */
  readonly referenceGear: number
  /** Drive-tyre size as on the sidewall. */
  readonly tyreSize: string
  /** Drive-tyre pressure, gauge, set cold. [Pa] */
  readonly tyrePressure_Pa: number
  /** Loaded rolling radius at that pressure and at the reference strap load. [m] */
  readonly rollingRadius_m: number
  /** Strap tension at each of two positions. [N] */
  readonly strapTension_N: number
  /** Force that the rolling tyre costs. [N] */
  readonly rollingForce_N: number
  /** Slip per unit of tractive force over load: ln of engine speed over roller speed rises by so much. [1] */
  readonly slipSlope_1: number
  /** Load of the driven wheel on the rollers, to which the tractive force is related. [N] */
  readonly wheelLoad_N: number
  /** Equivalent moment of inertia at the roller axis. [kg m2] */
  readonly rollerInertia_kg_m2: number
  /** Radius of the roller. [m] */
  readonly rollerRadius_m: number
}

/** A middle-weight motorcycle of about 100 hp at the wheel; no real one. */
export const referenceMachine: Machine = {
  peakPower_W: 75_000,
  from_rpm: 3000,
  to_rpm: 11_000,
  primary: 1.69,
  gears: [2.62, 1.93, 1.53, 1.27, 1.11, 1],
  final: 2.5,
  referenceGear: 5,
  tyreSize: '180/55ZR17',
  tyrePressure_Pa: 250_000,
  rollingRadius_m: 0.31,
  strapTension_N: 1500,
  rollingForce_N: 120,
  slipSlope_1: 0.05,
  wheelLoad_N: 2800,
  rollerInertia_kg_m2: 15,
  rollerRadius_m: 0.25,
}

/**
 * Shape of the torque curve, 1 at its broad maximum: a parabola, a dip and a hump as a tuned intake gives, and a falling top
 * end.
 *
 * @param speed_rpm engine speed on the scale of a machine that pulls from 3,000 to 11,000 rpm. [rpm]
 */
function torqueShape_1(speed_rpm: number): number {
  const parabola = 1 - 0.3 * ((speed_rpm - 8000) / 5000) ** 2
  const dip = -0.03 * Math.exp(-(((speed_rpm - 5200) / 700) ** 2))
  const hump = 0.02 * Math.exp(-(((speed_rpm - 7000) / 600) ** 2))
  const overrun = Math.max(0, speed_rpm - 9600) / 1400
  return parabola + dip + hump - 0.12 * overrun * overrun
}

const shapePeak_rpm = peakOfShape_rpm()
const shapePeak = torqueShape_1(shapePeak_rpm) * shapePeak_rpm

function peakOfShape_rpm(): number {
  let best = 3000
  for (let speed = 3000; speed <= 11_000; speed += 1) {
    if (torqueShape_1(speed) * speed > torqueShape_1(best) * best) best = speed
  }
  return best
}

/**
 * Wheel power of the unmodified machine: reference gear and air, warm, no noise. [W]
 *
 * @param machine the machine; another speed range stretches the shape.
 * @param speed_rpm engine speed. [rpm]
 */
export function wheelPower_W(machine: Machine, speed_rpm: number): number {
  const share = (speed_rpm - machine.from_rpm) / (machine.to_rpm - machine.from_rpm)
  const shapeSpeed_rpm = 3000 + 8000 * share
  return (machine.peakPower_W * torqueShape_1(shapeSpeed_rpm) * shapeSpeed_rpm) / shapePeak
}

/** Reduction from crankshaft to wheel in a gear; NaN for a gear that is not there. [1] */
export function reduction_1(machine: Machine, gear: number): number {
  return machine.primary * (machine.gears[gear - 1] ?? Number.NaN) * machine.final
}
