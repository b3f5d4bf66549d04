/** Which column of a file is which channel. */
import type { Channels, MixtureChannel, QuantityKind, UnitOf } from '../contract/index.ts'
import { units } from '../contract/index.ts'
import { didYouMean } from '../contract/nearest-name.ts'
import { ImportError, type ImportProblem, problemOf } from './import-error.ts'

/** A column and the unit of its numbers. */
export interface Column<U extends string = UnitOf> {
  /** Header as it stands in the file; blanks around it do not count. */
  readonly header: string
  /** Unit of every number in the column. */
  readonly unit: U
}

/** The column of the mixture. */
export type MixtureColumn = Column<'1'> & Pick<MixtureChannel, 'as' | 'stoichiometric' | 'probe'>

/** Columns by channel; only these are read. */
export interface ColumnMapping {
  /** Time since the start of the run. */
  readonly time?: Column<UnitOf<'time'>>
  /** Engine speed. */
  readonly engineSpeed?: Column<UnitOf<'rotationalSpeed'>>
  /** Power at the place named in `processing.measuredAt`. */
  readonly wheelPower?: Column<UnitOf<'power'>>
  /** Power divided by engine angular speed: the torque the trade prints. */
  readonly torque?: Column<UnitOf<'torque'>>
  /** Torque at the driven axle. */
  readonly axleTorque?: Column<UnitOf<'torque'>>
  /** Surface speed of the rollers. */
  readonly rollerSpeed?: Column<UnitOf<'speed'>>
  /** Mixture. */
  readonly mixture?: MixtureColumn
  /** Throttle opening. */
  readonly throttle?: Column<UnitOf<'ratio'>>
}

/** Name of a channel. */
export type ChannelName = keyof Channels & keyof ColumnMapping

/** The kind of quantity each channel holds. */
export const channelKinds = {
  time: 'time',
  engineSpeed: 'rotationalSpeed',
  wheelPower: 'power',
  torque: 'torque',
  axleTorque: 'torque',
  rollerSpeed: 'speed',
  mixture: 'ratio',
  throttle: 'ratio',
} as const satisfies Readonly<Record<ChannelName, QuantityKind>>

/** Names of all channels. */
export const channelNames = Object.keys(channelKinds).filter(isChannelName)

/** True for the name of a channel. */
export function isChannelName(name: string): name is ChannelName {
  return Object.hasOwn(channelKinds, name)
}

/** Units a channel may have. */
export function unitsOf(channel: ChannelName): readonly string[] {
  return channel === 'mixture' ? ['1'] : units[channelKinds[channel]]
}

const EXAMPLE = '"engineSpeed": { "header": "Engine speed", "unit": "rpm" }'

/**
 * A mapping as written in JSON.
 *
 * @param pointer where it stands in the comparison file.
 * @throws ImportError `ERR_MAPPING` with a pointer for each member that is not of the form.
 */
export function parseColumnMapping(value: unknown, pointer: string): ColumnMapping {
  if (!isObject(value) || Object.keys(value).length === 0) {
    throw mappingError({
      pointer,
      detail: 'the columns are not named.',
      fix: `Name them: "columns": { ${EXAMPLE}, … }.`,
    })
  }
  const problems = Object.entries(value).flatMap(([name, column]) => columnProblems(name, column, `${pointer}/${name}`))
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  return value as ColumnMapping
}

function columnProblems(name: string, column: unknown, pointer: string): readonly ImportProblem[] {
  if (!isChannelName(name)) return [unknownChannel(name, pointer)]
  if (!isObject(column)) return [notAColumn(pointer)]
  const known = name === 'mixture' ? ['header', 'unit', 'as', 'stoichiometric', 'probe'] : ['header', 'unit']
  return [
    ...Object.keys(column)
      .filter((key) => !known.includes(key))
      .map((key) => unknownMember(key, known, pointer)),
    ...(typeof column.header === 'string' && column.header.trim() !== '' ? [] : [notAColumn(`${pointer}/header`)]),
    ...(unitsOf(name).some((unit) => unit === column.unit) ? [] : [wrongUnit(name, column.unit, `${pointer}/unit`)]),
  ]
}

function unknownChannel(name: string, pointer: string): ImportProblem {
  return mappingProblem({
    pointer,
    detail: `"${name}" is not a channel.`,
    fix: `Channels are ${channelNames.join(', ')}.${didYouMean(name, channelNames)}`,
  })
}

function unknownMember(key: string, known: readonly string[], pointer: string): ImportProblem {
  return mappingProblem({
    pointer: `${pointer}/${key}`,
    detail: `"${key}" says nothing about a column.`,
    fix: `A column here has ${known.join(', ')}.${didYouMean(key, known)}`,
  })
}

function notAColumn(pointer: string): ImportProblem {
  return mappingProblem({
    pointer,
    detail: 'a column is a header, as it stands in the file, and the unit of its numbers.',
    fix: `Write it like ${EXAMPLE}.`,
  })
}

function wrongUnit(name: ChannelName, unit: unknown, pointer: string): ImportProblem {
  const allowed = unitsOf(name)
  const written =
    unit === undefined
      ? 'the unit is missing; there is no default.'
      : `${JSON.stringify(unit)} is not a unit of ${name}.`
  const guess = typeof unit === 'string' ? didYouMean(unit, allowed) : ''
  return mappingProblem({ pointer, detail: written, fix: `Units here are ${allowed.join(', ')}.${guess}` })
}

function mappingProblem(parts: Pick<ImportProblem, 'pointer' | 'detail' | 'fix'>): ImportProblem {
  return problemOf({ code: 'ERR_MAPPING', ...parts })
}

function mappingError(parts: Pick<ImportProblem, 'pointer' | 'detail' | 'fix'>): ImportError {
  return new ImportError(mappingProblem(parts))
}

/** True for a JSON object. */
export function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
