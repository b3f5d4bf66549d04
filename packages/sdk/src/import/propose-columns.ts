/** A mapping of columns to channels, proposed from headers and values for a person to confirm. Pure. */
import { headerSense } from './channel-words.ts'
import { type ChannelName, channelKinds, channelNames, unitsOf } from './column-mapping.ts'
import { type Dialect, dialectOf } from './dialect.ts'
import { ImportError } from './import-error.ts'
import { HIGHEST_LAMBDA, isPlausible, plausibleUnits } from './plausible.ts'
import { powerTorqueUnits } from './power-torque-units.ts'
import { tokenise } from './rows.ts'
import { type SeenColumn, seenTable } from './seen-columns.ts'
import { decodeText, type TextEncoding } from './text.ts'
import { headerParts } from './unit-spelling.ts'

/** A column proposed for a channel. */
export interface ProposedColumn {
  /** Channel. */
  readonly channel: ChannelName
  /** Header of the column. */
  readonly header: string
  /** Unit; null where neither header nor values tell it, and a person must say. */
  readonly unit: string | null
  /** Units to choose from where it is open. */
  readonly choices: readonly string[]
  /** Lowest and highest number. */
  readonly range: { readonly low: number; readonly high: number }
  /** What the unit was taken from. */
  readonly unitFrom: 'file' | 'power-and-torque' | 'values' | null
  /** Of a mixture, what the values are. */
  readonly as: 'lambda' | 'afr' | null
  /** What a person should know before confirming. */
  readonly notes: readonly string[]
}

/** A proposal, to be confirmed by a person. */
export interface ColumnProposal {
  /** How the file is written. */
  readonly dialect: Dialect
  /** Encoding it was read in. */
  readonly encoding: TextEncoding
  /** Line of the header, from 1. */
  readonly line: number
  /** Rows of numbers below it. */
  readonly samples: number
  /** One column for each channel that was found. */
  readonly columns: readonly ProposedColumn[]
  /** Headers that no channel takes, in the order of the file. */
  readonly unused: readonly string[]
}

/** How to read the file. */
export interface ProposalOptions {
  /** Name of the file, for messages. */
  readonly name: string
  /** What is known of its dialect. */
  readonly csv?: Partial<Dialect>
}

/**
 * A mapping proposed from the headers and the values of a CSV file.
 *
 * Nothing is read with it until a person has confirmed it: a header can lie, and a unit told from values is a guess.
 *
 * @throws ImportError naming file, line and fix where no header with numbers below it is found.
 */
export function proposeColumns(bytes: Uint8Array, { name, csv = {} }: ProposalOptions): ColumnProposal {
  try {
    const { text, encoding } = decodeText(bytes)
    const dialect = dialectOf(text, { headers: [], stated: csv })
    const { line, samples, columns: seen } = seenTable(tokenise(text, dialect), dialect)
    const columns = proposed(seen)
    const taken = new Set(columns.map(({ header }) => header))
    const unused = seen.map(({ header }) => header).filter((header) => header !== '' && !taken.has(header))
    return { dialect, encoding, line, samples, columns, unused }
  } catch (error) {
    if (error instanceof ImportError) throw error.mapped((problem) => ({ ...problem, file: name }))
    throw error
  }
}

function proposed(seen: readonly SeenColumn[]): readonly ProposedColumn[] {
  const candidates = channelNames.flatMap((channel) => {
    const best = bestFor(channel, seen)
    return best === undefined ? [] : [{ channel, column: best }]
  })
  const doubled = new Map<string, number>()
  for (const { header } of seen) doubled.set(header, (doubled.get(header) ?? 0) + 1)
  const byChannel = new Map(candidates.map(({ channel, column }) => [channel, column]))
  const fitting = powerTorqueUnits(byChannel)
  return candidates.map(({ channel, column }) =>
    columnOf(channel, column, fitting, (doubled.get(column.header) ?? 0) > 1),
  )
}

/** The column whose header names the channel; as measured before corrected, at the wheel before the crankshaft. */
function bestFor(channel: ChannelName, seen: readonly SeenColumn[]): SeenColumn | undefined {
  const scored = seen.flatMap((column) => {
    const score = scoreOf(channel, column)
    return score === undefined ? [] : [{ column, score }]
  })
  return scored.reduce<(typeof scored)[number] | undefined>(
    (best, each) => (best === undefined || each.score > best.score ? each : best),
    undefined,
  )?.column
}

function scoreOf(channel: ChannelName, { header, unit, range, values }: SeenColumn): number | undefined {
  if (range === null || values.some(Number.isNaN) || range.low === range.high) {
    // A throttle held wide open is the one column that may well stand still.
    if (channel !== 'throttle' || range === null) return undefined
  }
  const sense = headerSense(headerParts(header).name)
  const named = channelMeant(sense.channel, unit, range.high)
  if (named !== channel || sense.isOther) return undefined
  if (unit !== null && !unitsOf(channel).includes(unit)) return undefined
  return 4 + (sense.isUncorrected ? 2 : 0) - (sense.isCorrected ? 1 : 0) - (sense.isAtCrankshaft ? 2 : 0)
}

/** A unit says more than a word, and so do values: a "speed" in rpm, or of 11000, is that of the engine. */
function channelMeant(named: ChannelName | undefined, unit: string | null, high: number): ChannelName | undefined {
  const isOfKind = (channel: ChannelName) => unitsOf(channel).includes(unit ?? '')
  if (unit === null && named === 'rollerSpeed' && plausibleUnits(named, high).length === 0) return 'engineSpeed'
  if (unit === null || unit === '1' || unit === '%') return named
  if (named !== undefined && isOfKind(named)) return named
  const byUnit = channelNames.filter((channel) => isOfKind(channel) && channel !== 'axleTorque')
  const isSpeed = named === undefined || channelKinds[named] === 'speed' || channelKinds[named] === 'rotationalSpeed'
  return isSpeed || named === undefined ? byUnit[0] : undefined
}

function columnOf(
  channel: ChannelName,
  { header, unit, range, values }: SeenColumn,
  fitting: ReadonlyMap<ChannelName, readonly string[]>,
  isDoubled: boolean,
): ProposedColumn {
  const { low, high } = range ?? { low: Number.NaN, high: Number.NaN }
  const byFit = fitting.get(channel)
  const byValues = plausibleUnits(channel, high)
  const hasFit = byFit !== undefined && byFit.length > 0
  const choices = hasFit ? byFit : byValues.length > 0 ? byValues : unitsOf(channel)
  const told = unit ?? (choices.length === 1 ? (choices[0] ?? null) : null)
  return {
    channel,
    header,
    unit: told,
    choices: told === null ? choices : [],
    range: { low, high },
    unitFrom: unit !== null ? 'file' : told === null ? null : hasFit ? 'power-and-torque' : 'values',
    as: channel === 'mixture' ? (high <= HIGHEST_LAMBDA ? 'lambda' : 'afr') : null,
    notes: notesOf(channel, { header, unit: told, range, values }, byFit, isDoubled),
  }
}

function notesOf(
  channel: ChannelName,
  { header, unit, range, values }: SeenColumn,
  byFit: readonly string[] | undefined,
  isDoubled: boolean,
): readonly string[] {
  const sense = headerSense(headerParts(header).name)
  const isFigure = channel === 'wheelPower' || channel === 'torque'
  const rises = (values.at(-1) ?? 0) > (values[0] ?? 0)
  const notes = [
    sense.isCorrected && isFigure ? 'the header says corrected: name the standard under processing.correction' : '',
    sense.isAtCrankshaft && isFigure ? 'the header says crankshaft: measuredAt is crankshaft-estimated, then' : '',
    unit === 'hp' ? 'hp is 550 ft lbf/s; if the rig means metric horsepower, write PS' : '',
    unit !== null && range !== null && !isPlausible(channel, unit, range.high)
      ? `up to ${range.high} ${unit} is unusual: check the unit`
      : '',
    channel === 'torque' && byFit?.length === 0
      ? 'power is not torque x engine speed in any units left open: is a unit wrong, or is it torque at the axle?'
      : '',
    channel === 'engineSpeed' && !rises ? 'it does not rise from the first row to the last' : '',
    isDoubled ? 'the header stands more than once: give each run its part' : '',
  ]
  return notes.filter((note) => note !== '')
}
