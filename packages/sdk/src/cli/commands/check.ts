import type { Command } from 'commander'
import { checkFolder } from '../check-folder.ts'
import { checkRunFile } from '../check-run.ts'
import type { SharedOptions } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Defines `fairpull check`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('[path]', 'session folder; or a file with one run, or a comparison file', '.')
    .option('--json', 'print JSON for programs')
    .option('--full', 'print what is settled, too')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      '\nWorks before a run is made: what the notes must still hold comes first, then\nwhat differs or is not credible, then which runs are awaited.\n\nOf a file (.json), with one run or a whole comparison: what each run shows by\nitself, while the machine is still strapped down.\n\nExit codes:\n  0  nothing is missing but runs still to be made\n  1  a file cannot be read, or the command cannot be used\n  2  something is missing, or differs between the sides\n\nExamples:\n  fairpull check\n  fairpull check silencer-march\n  fairpull check run-7.json',
    )
    .action(async (path: string, options: SharedOptions) => context.end(await check(context, path, options)))
}

/** `fairpull check FOLDER|FILE`. */
async function check(context: WordContext, path: string, options: SharedOptions) {
  if ((await context.io.files.list(path)) !== undefined) return checkFolder(context, path, options)
  const word = shellWord(path)
  if (await isFile(context, path)) {
    if (path.toLowerCase().endsWith('.json')) return checkRunFile(context, path, options)
    throw new CommandError(
      'input',
      `${path} is a file; what is checked here is a session folder, or a file of runs (.json).`,
      `fairpull assess ${word}`,
    )
  }
  throw new CommandError('input', `there is no folder ${path}.`, `fairpull init ${word}`)
}

async function isFile({ io }: WordContext, path: string): Promise<boolean> {
  return io.files.read(path).then(
    () => true,
    () => false,
  )
}
