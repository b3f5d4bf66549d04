import type { Command } from 'commander'
import { proposalText, proposeColumns } from '../../import/index.ts'
import { lookOf, printJson, readInput, type SharedOptions } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { exitCodes } from '../exit-codes.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull columns`. */
export interface ColumnsCommandOptions extends SharedOptions {
  /** Mark before the fraction, where the file leaves it open. */
  readonly decimal?: string
}

/** Defines `fairpull columns`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('<file>', 'CSV file of one run; - reads standard input')
    .option('--decimal <mark>', 'decimal mark, . or , where the file leaves it open')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      '\nPrints YAML to paste into session.yaml, one line per column with what it\nrests on. Nothing is read with it before you have put it there.\n\nExamples:\n  fairpull columns runs/b1.csv\n  fairpull columns runs/b1.csv >> session.yaml',
    )
    .action(async (file: string, options: ColumnsCommandOptions) => {
      await columns(context, file, options)
      context.end(exitCodes.done)
    })
}

/** `fairpull columns FILE`: a mapping proposed from headers and values. */
async function columns({ io }: WordContext, path: string, options: ColumnsCommandOptions): Promise<void> {
  const bytes = await readInput(io, path, 'fairpull columns --help')
  const { decimal } = options
  if (decimal !== undefined && decimal !== '.' && decimal !== ',') {
    throw new CommandError('input', `--decimal is . or , and not ${decimal}.`, `fairpull columns ${path} --decimal ,`)
  }
  const proposal = proposeColumns(bytes, { name: path, ...(decimal === undefined ? {} : { csv: { decimal } }) })
  if (options.json === true) printJson(io, proposal)
  else {
    const look = lookOf(io, options)
    io.stdout.write(proposalText(proposal, path).split('\n').map(look.words).join('\n'))
  }
}
