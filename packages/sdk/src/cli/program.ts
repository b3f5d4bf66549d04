/** A command line taken apart, and its word carried out. */
import { Command, CommanderError, Help } from 'commander'
import { lookOptionsOf, type Surroundings } from './command.ts'
import { type ExitCode, exitCodes } from './exit-codes.ts'
import { helpText } from './help-text.ts'
import type { CommandIo } from './io.ts'
import { createLook } from './look.ts'
import { shellWord } from './text.ts'
import type { Word } from './word.ts'
import { words } from './words.ts'

/** Runs a command line that asks for more than the version. Never throws. */
export async function runProgram(argv: readonly string[], around: Surroundings): Promise<ExitCode> {
  let exit: ExitCode = exitCodes.done
  const end = (code: ExitCode) => {
    exit = code
  }
  try {
    const program = await createProgram(around, end, calledWords(argv))
    await program.parseAsync([...argv], { from: 'user' })
    return exit
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.done : exitCodes.input
    return reportError(error, argv, around.io)
  }
}

/** The words whose files a command line needs: the one it begins with, or asks help for. */
function calledWords(argv: readonly string[]): readonly Word[] {
  const [first, second] = argv
  return words.filter(({ name }) => name === first || (first === 'help' && name === second))
}

/**
 * The programme with every word; only the words in `loaded` have their arguments, options and action.
 *
 * @param end told the exit code of the word that ran.
 */
export async function createProgram(
  around: Surroundings,
  end: (code: ExitCode) => void,
  loaded: readonly Word[],
): Promise<Command> {
  const program = new Command('fairpull')
    .configureOutput({
      writeOut: around.io.stdout.write,
      writeErr: around.io.stderr.write,
      outputError: writeUsageError,
    })
    .configureHelp({ formatHelp: () => helpText(words) })
    .option('-V, --version', 'print the version')
    .exitOverride()
    .showHelpAfterError('Next: fairpull help')
  for (const word of words) {
    const command = program.command(word.name).description(word.summary)
    command.showHelpAfterError(`Next: fairpull ${word.name} --help`).helpOption('-h, --help', 'print this help')
    command.configureHelp({
      helpWidth: 80,
      formatHelp: (each, help) => Help.prototype.formatHelp.call(help, each, help),
    })
    if (loaded.includes(word)) (await word.load()).define(command, { ...around, words, end })
  }
  return program
}

function writeUsageError(text: string, write: (text: string) => void): void {
  write(text.replace(/^error: /, 'fairpull: '))
}

async function reportError(error: unknown, argv: readonly string[], io: CommandIo): Promise<ExitCode> {
  const { renderError } = await import('./render-error.ts')
  const options = {
    ...lookOptionsOf(io, { plain: argv.includes('--plain') }),
    width: io.stderr.columns ?? 80,
    color: false,
  }
  const again = `fairpull ${argv.map(shellWord).join(' ')}`
  const { text, exit } = renderError(error, createLook(options), withoutKey(again))
  io.stderr.write(text)
  if (exit === exitCodes.fault && io.env.FAIRPULL_DEBUG !== undefined && error instanceof Error) {
    io.stderr.write(`${error.stack}\n`)
  }
  return exit
}

/** A key typed on the command line is not repeated where it may be copied or logged. */
function withoutKey(line: string): string {
  return line.replace(/(--key[ =])\S+/, '$1…')
}
