import type { Command } from 'commander'
import { checkFolder } from '../check-folder.ts'
import type { SharedOptions } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Defines `fairpull check`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('[folder]', 'session folder', '.')
    .option('--json', 'print JSON for programs')
    .option('--full', 'print what is settled, too')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      '\nWorks before a run is made: what the notes must still hold comes first, then\nwhat differs or is not credible, then which runs are awaited.\n\nExit codes:\n  0  nothing is missing but runs still to be made\n  1  a file cannot be read, or the command cannot be used\n  2  something is missing, or differs between the sides\n\nExamples:\n  fairpull check\n  fairpull check silencer-march',
    )
    .action(async (path: string, options: SharedOptions) => context.end(await check(context, path, options)))
}

/** `fairpull check FOLDER`. */
async function check(context: WordContext, path: string, options: SharedOptions) {
  if ((await context.io.files.list(path)) !== undefined) return checkFolder(context, path, options)
  const word = shellWord(path)
  if (await isFile(context, path)) {
    throw new CommandError(
      'input',
      `${path} is a file; what is checked here is a session folder.`,
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
