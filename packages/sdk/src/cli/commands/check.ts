import type { Command } from 'commander'
import { checkFolder } from '../check-folder.ts'
import type { SharedOptions } from '../command.ts'
import { CommandError } from '../command-error.ts'
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
      '\nWorks before a run is made: what the notes must still hold comes first, then\nwhat must change on the rig, then which runs are awaited.\n\nExit codes:\n  0  nothing is missing but runs still to be made\n  1  a file cannot be read, or the command cannot be used\n  2  something is missing, or differs between the sides\n\nExamples:\n  fairpull check\n  fairpull check silencer-march',
    )
    .action(async (path: string, options: SharedOptions) => context.end(await check(context, path, options)))
}

/** `fairpull check FOLDER`. */
async function check(context: WordContext, path: string, options: SharedOptions) {
  if ((await context.io.files.list(path)) !== undefined) return checkFolder(context, path, options)
  throw new CommandError('input', `${path} is no folder.`, `fairpull init ${path === '' ? 'FOLDER' : path}`)
}
