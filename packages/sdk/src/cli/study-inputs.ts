/** The studies that a command line names: files, or session folders that are one study together. */
import type { RecordScope, Study, StudyBand } from '../contract/index.ts'
import type { StudyOptions } from '../import/index.ts'
import { readIn, readInput, type Surroundings } from './command.ts'
import { CommandError } from './command-error.ts'
import { folderOf } from './io.ts'
import { counted, shellWord } from './text.ts'

/** What session folders do not say of a study, as it is typed. */
export interface SessionStudyOptions {
  /** Band of engine speeds, `4000-9000`. [rpm] */
  readonly band?: string
  /** The machine that the record applies to; absent: its label. */
  readonly machine?: string
  /** How it is strapped down; absent: as the mountings state. */
  readonly strapping?: string
  /** Class of machines that the record is for; absent: that of the machine. */
  readonly class?: string
}

const HELP = 'fairpull study --help'

/** All session folders are one study; each file is one. */
export async function readStudies(
  around: Surroundings,
  paths: readonly string[],
  options: SessionStudyOptions,
): Promise<readonly Study[]> {
  const { io } = around
  const folders: string[] = []
  for (const path of paths) if ((await io.files.list(path)) !== undefined) folders.push(path)
  if (folders.length === paths.length) return [await sessionStudy(around, folders, options)]
  if (folders.length > 0) {
    throw new CommandError('input', 'session folders and study files are given together; give one kind.', HELP)
  }
  refuseScope(options)
  const { readStudyFile } = await import('../import/study-file.ts')
  const studies: Study[] = []
  for (const path of paths) {
    const text = await readInput(io, path, HELP)
    studies.push(await readStudyFile(text, (name) => readIn(io, folderOf(path), name)))
  }
  return studies
}

function refuseScope(options: SessionStudyOptions): void {
  const named = (['band', 'machine', 'strapping', 'class'] as const).find((name) => options[name] !== undefined)
  if (named === undefined) return
  throw new CommandError('input', `--${named} is for session folders; a study file says it itself.`, HELP)
}

async function sessionStudy(
  { io, tools }: Surroundings,
  folders: readonly string[],
  options: SessionStudyOptions,
): Promise<Study> {
  const { scopeOfSessions, studyOfSessions } = await import('../import/session-study.ts')
  const sessions = []
  for (const folder of folders) {
    const comparison = await tools.readSessionFolder((name) => readIn(io, folder, name))
    sessions.push({ name: folder.replace(/[/\\]+$/, ''), comparison })
  }
  const band = options.band === undefined ? {} : { band: bandOf(options.band) }
  const { strapping, class: of, machine } = options
  const appliesTo = {
    ...scopeOfSessions(sessions),
    ...(machine === undefined ? {} : { machine }),
    ...(strapping === undefined ? {} : { strapping }),
    ...(of === undefined ? {} : { class: of }),
  }
  requireScope(appliesTo, folders)
  const given: StudyOptions = { ...band, appliesTo }
  const left = sessions.reduce((sum, { comparison }) => sum + changedRuns(comparison.runs), 0)
  if (left > 0)
    io.stderr.write(
      `${counted(left, 'measured run')} of the modified side left out: a study is of the unchanged machine.\n`,
    )
  return studyOfSessions(sessions, given)
}

function requireScope(scope: Partial<RecordScope>, folders: readonly string[]): void {
  const absent = (['machine', 'strapping', 'class'] as const).find((part) => scope[part] === undefined)
  if (absent === undefined) return
  throw new CommandError(
    'input',
    `--${absent} is missing, and the sessions do not state it alike: a record says what it applies to.`,
    `fairpull study ${folders.map(shellWord).join(' ')} --strapping 'four ratchet straps' --class 'up to 100 kW'`,
  )
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
