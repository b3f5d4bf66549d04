import type { Command } from 'commander'
import { CommandError } from '../command-error.ts'
import { exitCodeHelp } from '../exit-codes.ts'
import { shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'
import { type VerifyCommandOptions, verify } from './verify.ts'

/** Defines `fairpull recompute`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('<summary>', 'signed summary (JWS), or an answer of the service that holds it')
    .argument('<comparison>', 'session folder or comparison file it was made of')
    .option('--keys <file>', 'trust bundle, or key set (jwks.json) of the issuer')
    .option('--issuer <name>', 'whose the key set is, if you know it')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      `\nVerifies the summary, and computes its result anew from the data. The same\nmethod version gives the same bytes.\n\nExample:\n  fairpull recompute summary.jws silencer-march --keys trust.json\n\n${exitCodeHelp}`,
    )
    .action(async (summary: string, comparison: string, options: VerifyCommandOptions) => {
      if (options.keys === undefined) {
        throw new CommandError(
          'input',
          'a result is recomputed only of a summary whose signature holds; the keys to check it with are missing.',
          `fairpull recompute ${shellWord(summary)} ${shellWord(comparison)} --keys jwks.json`,
        )
      }
      context.end(await verify(context, summary, { ...options, comparison }))
    })
}
