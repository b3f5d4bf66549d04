/** Where in a session folder the evidence of a check is written down. Data. */

/** A place in a session folder. */
export interface PlaceToWrite {
  /** Members of `session.yaml`, written once. */
  readonly session?: string
  /** Columns of `runs.csv`, written with each run. */
  readonly sheet?: string
}

/** By check. */
export const placesToWrite: Readonly<Record<string, PlaceToWrite>> = {
  'vehicle-matched': { session: 'vehicles, and vehicle under setup' },
  'rollers-matched': { session: 'facility.rollers, and rollers under setup' },
  'gear-matched': { sheet: 'gear' },
  'tyre-pressure-matched': { sheet: 'tyre pressure [kPa] and tyre pressure state' },
  'tyre-matched': { session: 'driveTyres, and driveTyre under setup' },
  'strap-load-matched': { session: 'straps or suspensionLength of each mounting' },
  'mountings-enough': { session: 'mountings', sheet: 'mounting' },
  'fuel-matched': { session: 'fuel under setup' },
  'warmed-up': { sheet: 'coolant [degC], oil [degC]' },
  'engine-temperature-matched': { sheet: 'coolant [degC], oil [degC]' },
  'intake-air-matched': { sheet: 'intake air [degC], intake air place, cell air [degC]' },
  'cooling-matched': { session: 'fan and extraction under setup' },
  'rider-matched': { session: 'riderAboard and ballast under setup' },
  'mode-matched': { session: 'mode under setup' },
  'sweep-matched': { session: 'facility.rollers, and sweep under setup' },
  'cadence-matched': { sheet: 'started at, such as 2026-03-02T09:00:00+01:00' },
  'correction-matched': { session: 'processing.measuredAt and processing.correction' },
  'processing-matched': { session: 'processing.smoothing' },
  'air-within-standard': { sheet: 'station pressure [hPa], cell air or intake air [degC], humidity [%]' },
  'air-close': { sheet: 'station pressure [hPa], cell air or intake air [degC], humidity [%]' },
  'air-credible': { sheet: 'station pressure [hPa], humidity [%]', session: 'facility.altitude' },
  'block-consecutive': { sheet: 'sequence' },
  'undeclared-differences': { session: 'tune under setup' },
  'one-change': { session: 'changes' },
  'all-runs-counted': { sheet: 'counter', session: 'unlisted' },
  'order-coherent': { sheet: 'sequence, counter, started at' },
  'mixture-matched': { session: 'columns.mixture, where the rig exports it' },
  'fuelling-sound': { session: 'columns.mixture, where the rig exports it' },
  'speed-ratio-steady': { session: 'columns.rollerSpeed, where the rig exports it' },
  'speed-ratio-matched': { session: 'columns.rollerSpeed, where the rig exports it' },
  'power-torque-agree': { session: 'columns.torque, where the rig exports it' },
  'trace-sound': { session: 'columns' },
  'outlier-free': { session: 'columns' },
  'no-duplicate-runs': { session: 'columns' },
}
