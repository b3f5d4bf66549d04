/** Whether the figures of a run can be read at all. */
import { readChannelValues } from './channel-values.ts'
import type { ComparisonProblem } from './field-problem.ts'
import type { Channels, ChannelValues, Run } from './run.ts'

/**
 * What keeps the figures of a run from being read: none at all, columns of unequal length, no engine speed, no sweep.
 *
 * The last two are asked of measured runs only: no other run enters the figures.
 *
 * @param run a run of right shape
 * @param pointer where it stands. Pure; never throws.
 */
export function runProblems(run: Run, pointer: string): readonly ComparisonProblem[] {
  const { channels } = run
  const isMeasured = run.purpose === 'measured'
  if (channels === undefined) return isMeasured ? absentFigures(run, pointer) : []

  const at = `${pointer}/channels`
  const unequal = unequalLengths(channels, at)
  if (!isMeasured || unequal.length > 0) return unequal
  return speedProblems(channels, at)
}

function absentFigures({ reported }: Run, pointer: string): readonly ComparisonProblem[] {
  if (reported?.peakPower !== undefined || reported?.peakTorque !== undefined) return []
  const detail =
    'A measured run needs `channels`, or `reported` with peakPower or peakTorque. ' +
    'Add the recorded columns or the published figure; a run that was broken off has the purpose "aborted".'
  return [{ pointer, code: 'ERR_NO_FIGURES', detail }]
}

function unequalLengths(channels: Channels, pointer: string): readonly ComparisonProblem[] {
  const lengths = Object.entries(channels).map(([name, channel]) => ({ name, samples: samplesOf(channel) }))
  const [first] = lengths
  if (first === undefined || lengths.every(({ samples }) => samples === first.samples)) return []
  const found = lengths.map(({ name, samples }) => `${name} ${samples}`).join(', ')
  const detail = `The channels have different numbers of values: ${found}. Give every channel one value per sample.`
  return [{ pointer, code: 'ERR_CHANNELS_UNEQUAL', detail }]
}

/** Samples of a channel of right form: base64 stands for 3 bytes in 4 digits, and a float64 has 8. */
function samplesOf({ values, base64 }: ChannelValues): number {
  if (values !== undefined) return values.length
  const padding = base64.endsWith('==') ? 2 : Number(base64.endsWith('='))
  return ((base64.length / 4) * 3 - padding) / 8
}

function speedProblems(channels: Channels, pointer: string): readonly ComparisonProblem[] {
  const { engineSpeed, rollerSpeed, time } = channels
  if (engineSpeed !== undefined) return sweepProblems(engineSpeed, 'engine speed', `${pointer}/engineSpeed`)
  if (rollerSpeed !== undefined && time !== undefined) {
    return sweepProblems(rollerSpeed, 'roller speed', `${pointer}/rollerSpeed`)
  }
  const detail =
    'The channels have no engineSpeed, and no rollerSpeed with time to take it from. ' +
    'Add the engine speed column; power without it belongs to no place in the rev range.'
  return [{ pointer, code: 'ERR_NO_SPEED', detail }]
}

/** The numbers of a channel of right form; of a list the list itself, for nothing here changes it. */
function numbersOf(channel: ChannelValues): readonly number[] | Float64Array {
  if (channel.values !== undefined) return channel.values
  const outcome = readChannelValues(channel)
  return outcome.ok ? outcome.values : []
}

function sweepProblems(channel: ChannelValues, name: string, pointer: string): readonly ComparisonProblem[] {
  const values = numbersOf(channel)
  const start = values[0] ?? Number.NaN
  if (values.some((speed) => speed > start)) return []
  const detail =
    `This is not a sweep: the ${name} begins at ${start} and never rises above it (${values.length} values). ` +
    'Check that the columns are not swapped or reversed; a run that was broken off has the purpose "aborted".'
  return [{ pointer, code: 'ERR_NOT_A_SWEEP', detail }]
}
