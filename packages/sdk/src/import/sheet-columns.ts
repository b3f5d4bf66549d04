/** The columns of a run sheet, and what each is in a run. Data. */
import type { QuantityKind } from '../contract/index.ts'

/** What stands in the cells of a column. */
export type SheetKind = 'text' | 'whole' | 'number' | 'yes-no' | { readonly quantity: QuantityKind }

/** One column a run sheet may have. */
export interface SheetColumn {
  /** Header, without the unit. */
  readonly name: string
  /** Member of the run, as a path. */
  readonly path: string
  /** What stands in its cells. */
  readonly kind: SheetKind
  /** Member without which this one says nothing: an empty cell there empties this one. */
  readonly of?: string
}

const quantity = (kind: QuantityKind): SheetKind => ({ quantity: kind })

/** Every column a run sheet may have. A person may use any of them in any order; `note` is read by nobody. */
export const sheetColumns: readonly SheetColumn[] = [
  { name: 'file', path: 'file', kind: 'text' },
  { name: 'part', path: 'part', kind: 'text' },
  { name: 'id', path: 'id', kind: 'text' },
  { name: 'side', path: 'side', kind: 'text' },
  { name: 'mounting', path: 'mounting', kind: 'text' },
  { name: 'purpose', path: 'purpose', kind: 'text' },
  { name: 'sequence', path: 'sequence', kind: 'whole' },
  { name: 'counter', path: 'counter', kind: 'whole' },
  { name: 'started at', path: 'startedAt', kind: 'text' },
  { name: 'origin', path: 'origin', kind: 'text' },
  { name: 'vehicle', path: 'setup/vehicle', kind: 'text' },
  { name: 'rollers', path: 'setup/rollers', kind: 'text' },
  { name: 'drive tyre', path: 'setup/driveTyre', kind: 'text' },
  { name: 'gear', path: 'setup/gear', kind: 'whole' },
  { name: 'tyre pressure', path: 'setup/tyrePressure', kind: quantity('pressure') },
  { name: 'tyre pressure state', path: 'setup/tyrePressure/state', kind: 'text', of: 'setup/tyrePressure' },
  {
    name: 'tyre temperature',
    path: 'setup/tyrePressure/tyreTemperature',
    kind: quantity('temperature'),
    of: 'setup/tyrePressure',
  },
  { name: 'tune', path: 'setup/tune', kind: 'text' },
  { name: 'mode', path: 'setup/mode', kind: 'text' },
  { name: 'fan', path: 'setup/fan', kind: 'text' },
  { name: 'extraction', path: 'setup/extraction', kind: 'text' },
  { name: 'rider aboard', path: 'setup/riderAboard', kind: 'yes-no' },
  { name: 'ballast', path: 'setup/ballast', kind: quantity('mass') },
  { name: 'fuel', path: 'setup/fuel/name', kind: 'text' },
  { name: 'fuel batch', path: 'setup/fuel/batch', kind: 'text', of: 'setup/fuel/name' },
  { name: 'station pressure', path: 'conditions/stationPressure', kind: quantity('pressure') },
  { name: 'cell air', path: 'conditions/cellAirTemperature', kind: quantity('temperature') },
  { name: 'intake air', path: 'conditions/intakeAirTemperature', kind: quantity('temperature') },
  {
    name: 'intake air place',
    path: 'conditions/intakeAirTemperature/place',
    kind: 'text',
    of: 'conditions/intakeAirTemperature',
  },
  { name: 'humidity', path: 'conditions/relativeHumidity', kind: quantity('ratio') },
  { name: 'coolant', path: 'conditions/coolantTemperature', kind: quantity('temperature') },
  { name: 'oil', path: 'conditions/oilTemperature', kind: quantity('temperature') },
  { name: 'measured at', path: 'processing/measuredAt', kind: 'text' },
  { name: 'correction', path: 'processing/correction', kind: 'text' },
  { name: 'factor', path: 'processing/factor/value', kind: 'number' },
  {
    name: 'factor resolution',
    path: 'processing/factor/resolution',
    kind: 'number',
    of: 'processing/factor/value',
  },
  { name: 'smoothing', path: 'processing/smoothing/kernel', kind: 'text' },
  {
    name: 'smoothing width',
    path: 'processing/smoothing/width',
    kind: quantity('rotationalSpeed'),
    of: 'processing/smoothing/kernel',
  },
  { name: 'peak power', path: 'reported/peakPower', kind: quantity('power') },
  { name: 'peak power at', path: 'reported/at', kind: quantity('rotationalSpeed') },
  { name: 'peak torque', path: 'reported/peakTorque', kind: quantity('torque') },
  { name: 'peak torque at', path: 'reported/peakTorqueAt', kind: quantity('rotationalSpeed') },
  { name: 'left out by', path: 'excluded/rule', kind: 'text' },
  { name: 'reason', path: 'excluded/reason', kind: 'text', of: 'excluded/rule' },
  { name: 'note', path: 'note', kind: 'text' },
]
