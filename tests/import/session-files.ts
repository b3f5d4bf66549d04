/** A comparison as the two files of a session folder: what a person would have typed. */
import { stringify } from 'yaml'
import type { Comparison, Run } from '../../packages/sdk/src/contract/index.ts'
import { filesOf } from '../../packages/service/demo/scenario/local-form.ts'

const columns: Readonly<Record<string, (run: Run) => unknown>> = {
  file: ({ channels, id }) => (channels === undefined ? undefined : `runs/${id}.csv`),
  id: ({ id }) => id,
  side: ({ side }) => side,
  mounting: ({ mounting }) => mounting,
  purpose: ({ purpose }) => purpose,
  sequence: ({ sequence }) => sequence,
  counter: ({ counter }) => counter,
  'started at': ({ startedAt }) => startedAt,
  gear: ({ setup }) => setup?.gear,
  'tyre pressure [kPa]': ({ setup }) => setup?.tyrePressure?.value,
  'tyre pressure state': ({ setup }) => setup?.tyrePressure?.state,
  'station pressure [kPa]': ({ conditions }) => conditions?.stationPressure?.value,
  'cell air [degC]': ({ conditions }) => conditions?.cellAirTemperature?.value,
  'intake air [degC]': ({ conditions }) => conditions?.intakeAirTemperature?.value,
  'intake air place': ({ conditions }) => conditions?.intakeAirTemperature?.place,
  'humidity [%]': ({ conditions }) => conditions?.relativeHumidity?.value,
  'coolant [degC]': ({ conditions }) => conditions?.coolantTemperature?.value,
  'oil [degC]': ({ conditions }) => conditions?.oilTemperature?.value,
}

/** The run sheet of a comparison whose runs say no more than the columns above. */
export function sheetOf(comparison: Comparison): string {
  const header = Object.keys(columns).join(',')
  const rows = comparison.runs.map((run) =>
    Object.values(columns)
      .map((cell) => String(cell(run) ?? ''))
      .join(','),
  )
  return `${[header, ...rows].join('\n')}\n`
}

/** The files of a session folder by name; of a comparison whose runs were all recorded and processed alike. */
export function sessionFolderOf(comparison: Comparison): Readonly<Record<string, string>> {
  const [local, ...runs] = filesOf(comparison)
  const { columns: mapping } = JSON.parse(local?.text ?? '{}')
  const { runs: [first] = [], ...members } = comparison
  const session = { ...members, columns: mapping, origin: first?.origin, processing: first?.processing }
  return {
    'session.yaml': stringify(session),
    'runs.csv': sheetOf(comparison),
    ...Object.fromEntries(runs.map(({ name, text }) => [name, text])),
  }
}
