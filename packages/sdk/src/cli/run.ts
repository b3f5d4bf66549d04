/** The `fairpull` command as a function, so that a test calls it like any other. */
import { type ExitCode, exitCodes } from './exit-codes.ts'
import { helpText } from './help-text.ts'
import type { CommandIo } from './io.ts'
import { packageTools, type Tools } from './tools.ts'
import { words } from './words.ts'

/**
 * Runs one command line.
 *
 * @param argv the words after the name of the programme.
 * @returns the exit code; see `exitCodes`. Never throws.
 */
export async function run(argv: readonly string[], io: CommandIo, tools: Tools = packageTools): Promise<ExitCode> {
  if (argv[0] === '--version' || argv[0] === '-V') {
    io.stdout.write(`${await io.version()}\n`)
    return exitCodes.done
  }
  const isHelp = argv.length === 1 && ['help', '--help', '-h'].includes(argv[0] ?? '')
  if (isHelp) {
    io.stdout.write(helpText(words))
    return exitCodes.done
  }
  const { runProgram } = await import('./program.ts')
  return runProgram(argv, { io, tools })
}
