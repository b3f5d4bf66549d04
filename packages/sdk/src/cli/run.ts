/** The `fairpull` command as a function, so that a test calls it like any other. */
import { Command, CommanderError } from 'commander'
import { lookOptionsOf, type SharedOptions, type Surroundings } from './command.ts'
import type { AssessCommandOptions } from './commands/assess.ts'
import type { VerifyCommandOptions } from './commands/verify.ts'
import { type ExitCode, exitCodeHelp, exitCodes } from './exit-codes.ts'
import type { CommandIo } from './io.ts'
import { createLook } from './look.ts'
import { renderError } from './render-error.ts'
import { packageTools, type Tools } from './tools.ts'

/**
 * Runs one command line.
 *
 * @param argv the words after the name of the programme.
 * @returns the exit code; see `exitCodes`. Never throws.
 */
export async function run(argv: readonly string[], io: CommandIo, tools: Tools = packageTools): Promise<ExitCode> {
  let exit: ExitCode = exitCodes.done
  const end = (code: ExitCode) => {
    exit = code
  }
  try {
    if (argv[0] === '--version' || argv[0] === '-V') {
      io.stdout.write(`${await io.version()}\n`)
      return exit
    }
    await createProgram({ io, tools }, end).parseAsync([...argv], { from: 'user' })
    return exit
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.done : exitCodes.input
    return reportError(error, argv, io)
  }
}

function reportError(error: unknown, argv: readonly string[], io: CommandIo): ExitCode {
  const options = {
    ...lookOptionsOf(io, { plain: argv.includes('--plain') }),
    width: io.stderr.columns ?? 80,
    color: false,
  }
  const again = `fairpull ${argv.map(quoted).join(' ')}`
  const { text, exit } = renderError(error, createLook(options), withoutKey(again))
  io.stderr.write(text)
  if (exit === exitCodes.fault && io.env.FAIRPULL_DEBUG !== undefined && error instanceof Error) {
    io.stderr.write(`${error.stack}\n`)
  }
  return exit
}

function quoted(word: string): string {
  return /^[\w./:@=,+-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`
}

/** A key typed on the command line is not repeated where it may be copied or logged. */
function withoutKey(line: string): string {
  return line.replace(/(--key[ =])\S+/, '$1…')
}

function createProgram(around: Surroundings, end: (code: ExitCode) => void): Command {
  const program = new Command('fairpull')
    .description('Says whether a before/after dyno comparison is valid and what it shows.')
    .configureOutput({
      writeOut: around.io.stdout.write,
      writeErr: around.io.stderr.write,
      outputError: writeUsageError,
    })
    .configureHelp({ helpWidth: 80 })
    .option('-V, --version', 'print the version')
    .exitOverride()
    .showHelpAfterError('Next: fairpull --help')
    .addHelpText('after', `\n${exitCodeHelp}\n\nNext: fairpull assess --help`)
  addAssess(program, around, end)
  addVerify(program, around, end)
  addProtocols(program, around, end)
  return program
}

function writeUsageError(text: string, write: (text: string) => void): void {
  write(text.replace(/^error: /, 'fairpull: '))
}

function addAssess(program: Command, around: Surroundings, end: (code: ExitCode) => void): void {
  subcommand(program, 'assess')
    .argument('<file>', 'comparison file (JSON); its runs may name CSV files; - reads standard input')
    .description('Assess a comparison, in this process or by a service that signs.')
    .option('--json', 'print JSON for programs')
    .option('--full', 'print every finding and gain')
    .option('--strict', 'exit with 2 when limited, 3 when invalid')
    .option('--plain', 'ASCII characters only')
    .option('--service <url>', 'send it to this service, which signs and keeps it')
    .option('--key <key>', 'API key; better kept in the variable FAIRPULL_KEY')
    .option('--out <file>', 'save the signed summary here')
    .option('--keys <file>', 'trust bundle or key set to verify the answer with')
    .option('--issuer <name>', 'whose the key set is, if you know it')
    .option('--dry-run', 'let the service assess only: not signed, not kept')
    .addHelpText(
      'after',
      `\nExamples:\n  fairpull assess comparison.json\n  fairpull assess comparison.json --json > result.json\n  fairpull assess comparison.json --service URL --out summary.jws\n\n${exitCodeHelp}`,
    )
    .action(async (file: string, options: AssessCommandOptions) => {
      const { assess } = await import('./commands/assess.ts')
      end(await assess(around, file, options))
    })
}

function addVerify(program: Command, around: Surroundings, end: (code: ExitCode) => void): void {
  subcommand(program, 'verify')
    .argument('<file>', 'signed summary (JWS), or an answer of the service that holds it; - reads standard input')
    .description('Verify a signed summary, offline: nothing is fetched.')
    .option('--keys <file>', 'trust bundle, or key set (jwks.json) of the issuer')
    .option('--issuer <name>', 'whose the key set is, if you know it')
    .option('--comparison <file>', 'comparison file to compute the result anew from')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      `\nExamples:\n  fairpull verify summary.jws --keys jwks.json --issuer 'Name of the issuer'\n  fairpull verify summary.jws --keys trust.json --comparison comparison.json\n\n${exitCodeHelp}`,
    )
    .action(async (file: string, options: VerifyCommandOptions) => {
      const { verify } = await import('./commands/verify.ts')
      end(await verify(around, file, options))
    })
}

function addProtocols(program: Command, around: Surroundings, end: (code: ExitCode) => void): void {
  subcommand(program, 'protocols')
    .argument('[id]', 'protocol to show in full, for example motorcycle-rollers@0')
    .description('Show what is checked, with every limit and its basis.')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .action(async (id: string | undefined, options: SharedOptions) => {
      const { protocols } = await import('./commands/protocols.ts')
      end(await protocols(around, id, options))
    })
}

/** A subcommand whose usage errors end with the next command to try. */
function subcommand(program: Command, name: string): Command {
  return program.command(name).showHelpAfterError(`Next: fairpull ${name} --help`)
}
