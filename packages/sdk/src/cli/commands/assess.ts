import type { Command } from 'commander'
import type { Assessment, Fairpull, RetryEvent } from '../../client/index.ts'
import type { Comparison, Result, Standing } from '../../contract/index.ts'
import type { VerificationReport } from '../../integrity/index.ts'
import {
  assessHere,
  lookOptionsOf,
  printJson,
  readComparison,
  reasonOf,
  type SharedOptions,
  type Surroundings,
} from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodeHelp, exitCodes } from '../exit-codes.ts'
import type { CommandIo } from '../io.ts'
import type { KeyOptions } from '../keys-file.ts'
import { createLook } from '../look.ts'
import { createPage } from '../page.ts'
import { isReadable } from '../readable.ts'
import { renderResult } from '../render-result.ts'
import { serviceClient } from '../service-client.ts'
import { counted, shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull assess`. */
export interface AssessCommandOptions extends SharedOptions, KeyOptions {
  /** Address of a service. Absent: the engine of this package. */
  readonly service?: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
  /** Where to save the signed summary. */
  readonly out?: string
  /** Let the service assess only. */
  readonly dryRun?: boolean
  /** Exit codes by standing. */
  readonly strict?: boolean
}

/** What `--json` prints. */
export interface AssessOutput {
  /** The result. */
  readonly result: Result
  /** Identity of the signed summary; null where none was made. */
  readonly id: string | null
  /** The signed summary; null where none was made. */
  readonly summary: string | null
  /** How the signed summary verified; null where none was made. */
  readonly verification: Omit<VerificationReport, 'payload'> | null
}

/** Defines `fairpull assess`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument(
      '<path>',
      'session folder, or comparison file (JSON) whose runs may name CSV files; - reads standard input',
    )
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
      `\nExamples:\n  fairpull assess silencer-march\n  fairpull assess comparison.json --json > result.json\n  fairpull assess silencer-march --service URL --out summary.jws\n\n${exitCodeHelp}`,
    )
    .action(async (file: string, options: AssessCommandOptions) => context.end(await assess(context, file, options)))
}

/** `fairpull assess FOLDER|FILE`: in this process, or by a service that signs. */
export async function assess(around: Surroundings, path: string, options: AssessCommandOptions): Promise<ExitCode> {
  const { io } = around
  refuseServiceOptions(path, options)
  const comparison = await readComparison(around, path, 'fairpull assess --help')
  const output =
    options.service === undefined
      ? unsigned(await assessHere(around, comparison))
      : await assessByService(io, comparison, { ...options, service: options.service })

  if (options.json === true) printJson(io, output)
  else if (await isReadable(output.result)) printResult(io, path, output, options)
  else io.stdout.write('The result is in a form this version cannot show; see --json.\n')
  return options.strict === true ? strictExits[output.result.standing] : exitCodes.done
}

const strictExits: Readonly<Record<Standing, ExitCode>> = {
  valid: exitCodes.done,
  limited: exitCodes.limited,
  invalid: exitCodes.invalid,
}

/** A local assessment is not signed; asking it for something signed is a misunderstanding worth a word. */
function refuseServiceOptions(path: string, options: AssessCommandOptions): void {
  if (options.service !== undefined) return
  const named = (['out', 'key', 'keys', 'issuer', 'dryRun'] as const).find((name) => options[name] !== undefined)
  if (named === undefined) return
  const flag = named === 'dryRun' ? '--dry-run' : `--${named}`
  throw new CommandError(
    'input',
    `${flag} needs --service: an assessment in this process is not signed. To keep it, redirect --json to a file.`,
    `fairpull assess ${shellWord(path)} --service http://127.0.0.1:8080 ${named === 'dryRun' ? '--dry-run' : '--out summary.jws'}`,
  )
}

type ServiceOptions = AssessCommandOptions & { readonly service: string }

async function assessByService(io: CommandIo, comparison: Comparison, options: ServiceOptions): Promise<AssessOutput> {
  const client = await clientFor(io, options)
  io.stderr.write(`Sending ${counted(comparison.runs.length, 'run')} to ${options.service} …\n`)
  if (options.dryRun === true) {
    return unsigned((await client.assessments.create(comparison, { dryRun: true, signal: io.signal })).result)
  }
  const assessment = await client.assessments.create(comparison, { signal: io.signal })
  if (options.out !== undefined) await save(io, options.out, assessment)
  const { payload: _, ...verification } = assessment.report
  return { result: assessment.result, id: assessment.id, summary: assessment.summary, verification }
}

async function clientFor(io: CommandIo, options: ServiceOptions): Promise<Fairpull> {
  const { readKeys } = await import('../keys-file.ts')
  const { trust } = await readKeys(io, options, 'fairpull assess --help')
  return serviceClient(io, options, {
    ...(trust === undefined ? {} : { trust }),
    hooks: { onRetry: (event) => sayRetry(io, event) },
  })
}

function sayRetry(io: CommandIo, { attempt, wait, error }: RetryEvent): void {
  const [first] = error.message.split('\n', 1)
  io.stderr.write(`Attempt ${attempt} failed: ${first} Trying again in ${(wait / 1000).toFixed(1)} s.\n`)
}

/** The summary byte for byte as signed, without a line end. */
async function save(io: CommandIo, path: string, { id, summary }: Assessment): Promise<void> {
  try {
    await io.files.write(path, summary)
  } catch (cause) {
    throw new CommandError(
      'input',
      `The summary ${id} was signed, but ${path} cannot be written: ${reasonOf(cause)}.`,
      'name a file that can be written, and run it again; or fetch the summary by its id',
      cause,
    )
  }
  io.stderr.write(`Saved the signed summary to ${path}.\n`)
}

function unsigned(result: Result): AssessOutput {
  return { result, id: null, summary: null, verification: null }
}

function printResult(io: CommandIo, path: string, output: AssessOutput, options: AssessCommandOptions): void {
  const { result, id, verification } = output
  const look = lookOptionsOf(io, options)
  const page = createPage(createLook(look))
  page.put(renderResult(result, { ...look, title: path, full: options.full ?? false }), '')
  if (verification === null || id === null) {
    page.say('Not signed. A service signs it: add --service URL --out summary.jws')
  } else {
    const isTrusted = verification.verdict === 'verified'
    page.say(`Signed summary ${id}`)
    page.say(
      isTrusted ? 'verified with your keys.' : 'intact, key unknown: say whom you trust with --keys and --issuer.',
    )
  }
  io.stdout.write(`${page.lines.join('\n')}\n`)
}
