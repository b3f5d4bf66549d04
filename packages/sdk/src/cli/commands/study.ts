import type { Command } from 'commander'
import type { ControlChart, RegisteredStudy, Study, StudyResult } from '../../contract/index.ts'
import { reasonOf, type SharedOptions, type Surroundings, show } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodes } from '../exit-codes.ts'
import type { CommandIo } from '../io.ts'
import { sayControlCharts, sayStudy } from '../render-study.ts'
import { serviceClient } from '../service-client.ts'
import { readStudies, type SessionStudyOptions } from '../study-inputs.ts'
import { counted } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull study`. */
export interface StudyCommandOptions extends SharedOptions, SessionStudyOptions {
  /** Address of a service. Absent: the engine of this package. */
  readonly service?: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
  /** Where to save the facility record. */
  readonly out?: string
  /** Exit with 2 when something is missing from the record. */
  readonly strict?: boolean
}

/** What `--json` prints. */
export interface StudyOutput {
  /** One result a study. */
  readonly studies: readonly StudyResult[]
  /** Identity in the register; null where none was asked. */
  readonly id: string | null
  /** Control charts; empty with a single study and no register. */
  readonly charts: readonly ControlChart[]
}

/** Defines `fairpull study`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument(
      '<paths...>',
      'session folders; or study files (JSON) whose runs may name CSV files, - reads standard input',
    )
    .option('--json', 'print JSON for programs')
    .option('--full', 'print every run')
    .option('--strict', 'exit with 2 when something is missing from the record')
    .option('--plain', 'ASCII characters only')
    .option('--band <rpm>', 'of session folders: engine speeds, such as 4000-9000')
    .option(
      '--strapping <text>',
      'of session folders: how the machine is strapped down, where its mountings do not say it',
    )
    .option(
      '--class <text>',
      'of session folders: class of machines that the record is for, where the machine has none',
    )
    .option('--machine <text>', 'of session folders: the machine, where it has no label')
    .option('--out <file>', 'save the facility record here')
    .option('--service <url>', 'register it with this service, which keeps it')
    .option('--key <key>', 'API key; better kept in the variable FAIRPULL_KEY')
    .addHelpText('after', HELP_TEXT)
    .action(async (paths: readonly string[], options: StudyCommandOptions) =>
      context.end(await study(context, paths, options)),
    )
}

const HELP_TEXT = `
Measures how well you repeat: one unchanged machine, strapped down several
times, two runs or more each time. The record goes into a comparison as
facility.record.

Session folders give one study of all their baseline runs, so that it grows
from ordinary work: whenever an unchanged machine is strapped down again.
Several study files are charted, to see whether the rig repeats as it did.

Exit codes:
  0  done, whatever the study shows
  1  a file cannot be read, or the command cannot be used
  2  with --strict: something is missing from the record
  7  the service refused, or did not answer

Examples:
  fairpull study spring.study.json --out record.json
  fairpull study march april june --band 4000-9000 \\
    --strapping 'four ratchet straps' --class 'up to 100 kW'
  fairpull study spring.study.json --service URL`

const HELP = 'fairpull study --help'

/** `fairpull study FILE|FOLDER…`: in this process, or by a service that keeps it. */
export async function study(
  around: Surroundings,
  paths: readonly string[],
  options: StudyCommandOptions,
): Promise<ExitCode> {
  const { io } = around
  const studies = await readStudies(around, paths, options)
  refuseSeveral(studies.length, options)
  const output =
    options.service === undefined ? await assessedHere(studies, paths) : await registered(io, studies, options)
  const last = output.studies.at(-1)
  if (options.out !== undefined && last !== undefined) await save(io, options.out, last)
  show(io, options, output, (page) => {
    output.studies.forEach((result, index) => {
      if (index > 0) page.put('')
      sayStudy(page, result, { title: titleOf(studies[index], paths[index]), isFull: options.full ?? false })
    })
    sayControlCharts(page, output.charts)
  })
  sayNext(io, output, options)
  const isWhole = output.studies.every(({ record, missing }) => record !== null && missing.length === 0)
  return options.strict === true && !isWhole ? exitCodes.limited : exitCodes.done
}

function titleOf(given: Study | undefined, path: string | undefined): string {
  return given?.name ?? path ?? ''
}

function refuseSeveral(count: number, { service, out }: StudyCommandOptions): void {
  if (count < 2 || (service === undefined && out === undefined)) return
  const flag = service === undefined ? '--out' : '--service'
  throw new CommandError('input', `${flag} is for one study; ${count} study files are given.`, HELP)
}

async function assessedHere(studies: readonly Study[], paths: readonly string[]): Promise<StudyOutput> {
  const { assessStudy, controlCharts } = await import('../../local/index.ts')
  const results = studies.map((each) => assessStudy(each))
  const charted = results.map(({ record, scatter }, index) => ({
    ...{ study: titleOf(studies[index], paths[index]), on: record?.on ?? null, scatter },
  }))
  return { studies: results, id: null, charts: results.length < 2 ? [] : controlCharts(charted) }
}

async function registered(
  io: CommandIo,
  [only]: readonly Study[],
  { service, key }: StudyCommandOptions,
): Promise<StudyOutput> {
  if (only === undefined || service === undefined) throw new TypeError('one study goes to one service')
  const client = await serviceClient(io, { service, ...(key === undefined ? {} : { key }) })
  io.stderr.write(`Sending ${counted(only.runs.length, 'run')} to ${service} …\n`)
  const { id, result }: RegisteredStudy = await client.studies.create(only, { signal: io.signal })
  const { charts } = await client.studies.charts(only.facility.id, { signal: io.signal })
  return { studies: [result], id, charts: charts.filter(({ points }) => points.length > 1) }
}

async function save(io: CommandIo, path: string, { record, missing }: StudyResult): Promise<void> {
  if (record === null) {
    const [reason] = missing
    throw new CommandError('input', `there is no record to save. ${reason?.sentence ?? ''}`.trim(), HELP)
  }
  try {
    await io.files.write(path, `${JSON.stringify(record, null, 2)}\n`)
  } catch (cause) {
    throw new CommandError('input', `${path} cannot be written: ${reasonOf(cause)}.`, HELP, cause)
  }
  io.stderr.write(`Saved the facility record to ${path}.\n`)
}

function sayNext(io: CommandIo, { studies, id }: StudyOutput, options: StudyCommandOptions): void {
  const [only, ...others] = studies
  if (only === undefined || others.length > 0 || only.record === null) return
  if (id !== null) {
    io.stderr.write(`Registered as ${id}: a plan whose facility record is this one counts it as issued here.\n`)
    return
  }
  if (options.out !== undefined) return
  io.stderr.write('The record goes into a comparison as facility.record. To save it, add: --out record.json\n')
}
