import type { Command } from 'commander'
import type { ControlChart, RegisteredStudy, Study, StudyBand, StudyResult } from '../../contract/index.ts'
import type { StudyOptions } from '../../import/index.ts'
import { readIn, readInput, reasonOf, type SharedOptions, type Surroundings, show } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodes } from '../exit-codes.ts'
import { type CommandIo, folderOf } from '../io.ts'
import { sayControlCharts, sayStudy } from '../render-study.ts'
import { serviceClient } from '../service-client.ts'
import { counted, shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull study`. */
export interface StudyCommandOptions extends SharedOptions {
  /** Address of a service. Absent: the engine of this package. */
  readonly service?: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
  /** Where to save the facility record. */
  readonly out?: string
  /** Exit with 2 when something is missing from the record. */
  readonly strict?: boolean
  /** Band of engine speeds of session folders, `4000-9000`. [rpm] */
  readonly band?: string
  /** Machine, method of strapping and class that the record of session folders applies to. */
  readonly machine?: string
  readonly strapping?: string
  readonly class?: string
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
    .argument('<paths...>', 'study file (JSON) whose runs may name CSV files, or - ; or session folders')
    .option('--json', 'print JSON for programs')
    .option('--full', 'print every run')
    .option('--strict', 'exit with 2 when something is missing from the record')
    .option('--plain', 'ASCII characters only')
    .option('--band <rpm>', 'of session folders: engine speeds, such as 4000-9000')
    .option('--strapping <text>', 'of session folders: how the machine is strapped down')
    .option('--class <text>', 'of session folders: machines that the record is for')
    .option('--machine <text>', 'of session folders: the machine, where its label does not say it')
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

/** All session folders are one study; each file is one. */
async function readStudies(
  around: Surroundings,
  paths: readonly string[],
  options: StudyCommandOptions,
): Promise<readonly Study[]> {
  const { io } = around
  const folders: string[] = []
  for (const path of paths) if ((await io.files.list(path)) !== undefined) folders.push(path)
  if (folders.length === paths.length) return [await sessionStudy(around, folders, options)]
  if (folders.length > 0) {
    throw new CommandError('input', 'session folders and study files are given together; give one kind.', HELP)
  }
  refuseScope(options)
  const { readStudyFile } = await import('../../import/study-file.ts')
  const studies: Study[] = []
  for (const path of paths) {
    const text = await readInput(io, path, HELP)
    studies.push(await readStudyFile(text, (name) => readIn(io, folderOf(path), name)))
  }
  return studies
}

function refuseScope(options: StudyCommandOptions): void {
  const named = (['band', 'machine', 'strapping', 'class'] as const).find((name) => options[name] !== undefined)
  if (named === undefined) return
  throw new CommandError('input', `--${named} is for session folders; a study file says it itself.`, HELP)
}

async function sessionStudy(
  { io, tools }: Surroundings,
  folders: readonly string[],
  options: StudyCommandOptions,
): Promise<Study> {
  const { strapping, class: of, machine } = options
  if (strapping === undefined || of === undefined) {
    const absent = strapping === undefined ? '--strapping' : '--class'
    throw new CommandError(
      'input',
      `${absent} is missing: a record says what it applies to.`,
      `fairpull study ${folders.map(shellWord).join(' ')} --strapping 'four ratchet straps' --class 'up to 100 kW'`,
    )
  }
  const { studyOfSessions } = await import('../../import/session-study.ts')
  const sessions = []
  for (const folder of folders) {
    const comparison = await tools.readSessionFolder((name) => readIn(io, folder, name))
    sessions.push({ name: folder.replace(/[/\\]+$/, ''), comparison })
  }
  const band = options.band === undefined ? {} : { band: bandOf(options.band) }
  const scope = { strapping, class: of, ...(machine === undefined ? {} : { machine }) }
  const given: StudyOptions = { ...band, appliesTo: scope }
  const left = sessions.reduce((sum, { comparison }) => sum + changedRuns(comparison.runs), 0)
  if (left > 0)
    io.stderr.write(
      `${counted(left, 'measured run')} of the modified side left out: a study is of the unchanged machine.\n`,
    )
  return studyOfSessions(sessions, given)
}

function changedRuns(runs: readonly { readonly side: string; readonly purpose: string }[]): number {
  return runs.filter(({ side, purpose }) => side === 'modified' && purpose === 'measured').length
}

function bandOf(text: string): StudyBand {
  const [, from, to] = /^(\d{1,6})-(\d{1,6})$/.exec(text) ?? []
  if (from !== undefined && to !== undefined && Number(from) < Number(to)) {
    return { from: { value: Number(from), unit: 'rpm' }, to: { value: Number(to), unit: 'rpm' } }
  }
  throw new CommandError(
    'input',
    `--band ${text}: give two engine speeds in rpm, the lower first, such as 4000-9000.`,
    HELP,
  )
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
