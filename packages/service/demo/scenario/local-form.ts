/** The demo's comparisons as files a person can open: one JSON document, and a CSV file per run. */
import { createHash } from 'node:crypto'
import type { Channels, Comparison, Run } from '@fairpull/sdk/contract'

/** A file of a comparison: name relative to its folder, and text. */
export interface ComparisonFile {
  /** Name with forward slashes. */
  readonly name: string
  /** Text, UTF-8. */
  readonly text: string
}

type ColumnName = Exclude<keyof Channels, 'axleTorque'>

/** Header, printed digits and what else the document says of each column, in the order of the file. */
const COLUMNS = {
  time: { header: 'Time', digits: 1, unit: 's' },
  engineSpeed: { header: 'Engine speed', digits: 1, unit: 'rpm' },
  wheelPower: { header: 'Wheel power', digits: 2, unit: 'kW' },
  torque: { header: 'Torque', digits: 2, unit: 'N m' },
  rollerSpeed: { header: 'Roller speed', digits: 2, unit: 'km/h' },
  mixture: { header: 'Lambda', digits: 3, unit: '1', as: 'lambda', probe: 'bung' },
  throttle: { header: 'Throttle', digits: 0, unit: '%' },
} as const satisfies Readonly<
  Record<ColumnName, { header: string; digits: number; unit: string; as?: string; probe?: string }>
>

const COLUMN_NAMES = Object.keys(COLUMNS) as ColumnName[]

/**
 * The comparison as it is when read back from its files: columns as printed, and the digest of each file.
 *
 * @param comparison a comparison whose channels are lists; runs without channels stay as they are.
 */
export function asPrinted(comparison: Comparison): Comparison {
  return { ...comparison, runs: comparison.runs.map(printedRun) }
}

function printedRun(run: Run): Run {
  if (run.channels === undefined) return run
  const name = fileNameOf(run)
  const sha256 = createHash('sha256').update(csvOf(run.channels)).digest('hex')
  return { ...run, source: { name, sha256 }, channels: printedChannels(run.channels) }
}

function printedChannels(channels: Channels): Channels {
  const printed = COLUMN_NAMES.flatMap((name) => {
    const channel = channels[name]
    if (channel?.values === undefined) return []
    return [[name, { ...channel, values: channel.values.map((value) => Number(printedValue(name, value))) }] as const]
  })
  return Object.fromEntries(printed)
}

/** The files of a comparison: `comparison.json` first, then the runs. */
export function filesOf(comparison: Comparison): readonly ComparisonFile[] {
  const recorded = comparison.runs.filter(({ channels }) => channels !== undefined)
  return [
    { name: 'comparison.json', text: `${JSON.stringify(localForm(comparison), null, 2)}\n` },
    ...recorded.map((run) => ({ name: `runs/${fileNameOf(run)}`, text: csvOf(run.channels ?? {}) })),
  ]
}

/** The document with a file name in the place of channels, and the columns said once for all runs. */
function localForm(comparison: Comparison): object {
  const { runs, claims, ...head } = comparison
  const hasFiles = runs.some(({ channels }) => channels !== undefined)
  return { ...head, ...(hasFiles ? { columns: columnMapping() } : {}), runs: runs.map(localRun), claims }
}

function columnMapping(): object {
  return Object.fromEntries(Object.entries(COLUMNS).map(([name, { digits: _, ...column }]) => [name, column]))
}

function localRun(run: Run): object {
  if (run.channels === undefined) return run
  const { channels: _, source: __, ...rest } = run
  return { ...rest, file: `runs/${fileNameOf(run)}` }
}

function fileNameOf({ id }: Run): string {
  return `${id}.csv`
}

function csvOf(channels: Channels): string {
  const names = COLUMN_NAMES.filter((name) => channels[name] !== undefined)
  const header = names.map((name) => COLUMNS[name].header).join(',')
  const rows = (channels.engineSpeed?.values ?? []).map((_, k) =>
    names.map((name) => printedValue(name, channels[name]?.values?.[k] ?? Number.NaN)).join(','),
  )
  return `${[header, ...rows].join('\n')}\n`
}

function printedValue(name: ColumnName, value: number): string {
  return value.toFixed(COLUMNS[name].digits)
}
