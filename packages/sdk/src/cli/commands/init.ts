import type { Command } from 'commander'
import { ImportError, proposalText, proposeColumns, sessionFiles, sessionTemplate } from '../../import/index.ts'
import { lookOf, reasonOf, type SharedOptions } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { exitCodes } from '../exit-codes.ts'
import { type CommandIo, joined } from '../io.ts'
import { createPage } from '../page.ts'
import { counted, shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull init`. */
export interface InitCommandOptions extends SharedOptions {
  /** Whether cells are told apart by semicolons. */
  readonly semicolons?: boolean
}

/** Defines `fairpull init`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('[folder]', 'folder of the session; made where there is none', '.')
    .option('--semicolons', 'semicolons between cells, for a spreadsheet with a decimal comma')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      '\nCSV files that are in the folder, or in runs/ below it, get a line each in\nruns.csv; else the sheet is laid out for runs still to be made. No file is\nwritten over.\n\nExamples:\n  fairpull init\n  fairpull init silencer-march',
    )
    .action(async (folder: string, options: InitCommandOptions) => {
      await init(context, folder, options)
      context.end(exitCodes.done)
    })
}

/** `fairpull init [FOLDER]`: a commented template of a session folder. */
async function init({ io }: WordContext, folder: string, options: InitCommandOptions): Promise<void> {
  const { session, sheet } = sessionFiles
  const present = (await io.files.list(folder)) ?? []
  const taken = [session, sheet].filter((name) => present.includes(name))
  if (taken.length > 0) {
    throw new CommandError(
      'input',
      `${folder} is a session folder already: it holds ${taken.join(' and ')}. Nothing was written.`,
      `fairpull check ${shellWord(folder)}`,
    )
  }
  const files = await runFiles(io, folder, present)
  const columns = await columnsFrom(io, folder, files[0])
  const delimiter = options.semicolons === true ? ';' : ','
  const template = sessionTemplate({ files, delimiter, ...(columns === undefined ? {} : { columns }) })
  await create(io, joined(folder, session), template.session)
  await create(io, joined(folder, sheet), template.sheet)
  sayWritten({ io, folder, options }, files, columns !== undefined)
}

/** CSV files of the folder and of `runs/` below it. */
async function runFiles(io: CommandIo, folder: string, present: readonly string[]): Promise<readonly string[]> {
  const below = (await io.files.list(joined(folder, 'runs'))) ?? []
  return [...present, ...below.map((name) => `runs/${name}`)].filter((name) => /\.(?:csv|tsv|txt)$/i.test(name))
}

/** A proposal from the first file; none where there is no file, or one that cannot be read as it is. */
async function columnsFrom(io: CommandIo, folder: string, file: string | undefined): Promise<string | undefined> {
  if (file === undefined) return undefined
  try {
    return proposalText(proposeColumns(await io.files.read(joined(folder, file)), { name: file }), file)
  } catch (error) {
    if (error instanceof ImportError) return undefined
    throw error
  }
}

async function create(io: CommandIo, path: string, text: string): Promise<void> {
  try {
    await io.files.create(path, text)
  } catch (cause) {
    throw new CommandError('input', `${path} cannot be written: ${reasonOf(cause)}.`, 'fairpull init FOLDER', cause)
  }
}

interface Written {
  readonly io: CommandIo
  readonly folder: string
  readonly options: SharedOptions
}

function sayWritten({ io, folder, options }: Written, files: readonly string[], hasColumns: boolean): void {
  const { session, sheet } = sessionFiles
  const page = createPage(lookOf(io, options))
  const lines = files.length === 0 ? 'laid out for runs still to be made' : `with ${counted(files.length, 'run file')}`
  page.say(`${joined(folder, session)}: what holds for the whole session.`, { first: '  ' })
  page.say(`${joined(folder, sheet)}: one line per run, ${lines}; opens in any spreadsheet.`, { first: '  ' })
  if (hasColumns) {
    page.say('The columns are proposed from the first file. Confirm them in session.yaml: until then no file is read.')
  }
  if (files.length > 0 && !hasColumns) {
    page.say(`No columns could be proposed from ${files[0]}; what stands against it says: fairpull columns FILE`)
  }
  page.say(`Fill in both, then: fairpull check ${shellWord(folder)}`)
  io.stdout.write(`Wrote\n${page.lines.join('\n')}\n`)
}
