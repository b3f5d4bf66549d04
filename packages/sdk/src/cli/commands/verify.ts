import type { Command } from 'commander'
import {
  LogViewError,
  parseStrictJson,
  type RecomputationReport,
  type VerificationReport,
  type VerifyOptions,
  verifySummary,
} from '../../integrity/index.ts'
import {
  lookOptionsOf,
  printJson,
  readComparison,
  readInput,
  type SharedOptions,
  type Surroundings,
} from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodeHelp, exitCodes } from '../exit-codes.ts'
import { type KeyOptions, readKeys } from '../keys-file.ts'
import { openLogPlace } from '../log-place.ts'
import { isReadable } from '../readable.ts'
import { isKeyMissing, renderVerification } from '../render-verification.ts'
import { shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull verify`. */
export interface VerifyCommandOptions extends SharedOptions, KeyOptions {
  /** Comparison file to compute the result anew from. */
  readonly comparison?: string
  /** Log to find the summary in: an address, or a folder. */
  readonly log?: string
}

/** Defines `fairpull verify`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('<file>', 'signed summary (JWS), or an answer of the service that holds it; - reads standard input')
    .option('--keys <file>', 'trust bundle, or key set (jwks.json) of the issuer')
    .option('--issuer <name>', 'whose the key set is, if you know it')
    .option('--comparison <file>', 'session folder or comparison file to compute the result anew from')
    .option('--log <place>', 'log to find it in: https://…/log, or a folder it was saved to')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .addHelpText(
      'after',
      `\nExamples:\n  fairpull verify summary.jws --keys jwks.json --issuer 'Name of the issuer'\n  fairpull verify summary.jws --keys trust.json --comparison comparison.json\n  fairpull verify summary.jws --keys trust.json --log https://dyno.example/log\n\n${exitCodeHelp}`,
    )
    .action(async (file: string, options: VerifyCommandOptions) => context.end(await verify(context, file, options)))
}

/** `fairpull verify FILE`: offline; nothing is fetched but from the log that was named. */
export async function verify(around: Surroundings, path: string, options: VerifyCommandOptions): Promise<ExitCode> {
  const { io, tools } = around
  const next = 'fairpull verify --help'
  const { summary, log } = summaryIn(await readInput(io, path, next), path, next)
  const keys = await readKeys(io, options, next)
  const place = options.log === undefined ? {} : await openLogPlace(io, options.log, keys, next)
  const judged = options.comparison === undefined ? undefined : await readComparison(around, options.comparison, next)
  const data = judged === undefined ? {} : { comparison: judged, recompute: tools.assess }
  const given = { ...keys, ...data, ...place, ...(log === undefined ? {} : { log }) }
  const report = await reportOn(summary, given, options.log, next)

  if (options.json === true) {
    printJson(io, report)
  } else {
    const readable = report.payload === null || (await isReadable(report.payload.result))
    const text = renderVerification(report, { ...lookOptionsOf(io, options), title: path, isReadable: readable })
    io.stdout.write(`${text}\n`)
  }
  io.stderr.write(adviceFor(report, path, options))
  return exitOf(report)
}

/** The report; a log whose files do not hold together is named. */
async function reportOn(
  summary: string,
  given: VerifyOptions,
  place: string | undefined,
  next: string,
): Promise<VerificationReport> {
  try {
    return await verifySummary(summary, given)
  } catch (error) {
    if (!(error instanceof LogViewError)) throw error
    throw new CommandError('input', `${place} is no log to go by: ${error.message}.`, next, error)
  }
}

/** What a file holds of a summary. */
interface SummaryFile {
  readonly summary: string
  /** Its place in the log, where the file is an answer of the service. */
  readonly log?: unknown
}

/** The compact JWS in a file: alone, or as the member `summary` of an answer of the service, with its place in the log. */
function summaryIn(bytes: Uint8Array, path: string, next: string): SummaryFile {
  const text = new TextDecoder().decode(bytes).trim()
  if (!text.startsWith('{')) return { summary: text }
  const json = parseStrictJson(text)
  const value = json.ok ? json.value : undefined
  if (typeof value === 'object' && value !== null && 'summary' in value && typeof value.summary === 'string') {
    return { summary: value.summary, ...('log' in value ? { log: value.log } : {}) }
  }
  throw new CommandError(
    'input',
    `${path} holds no signed summary: neither a JWS nor an answer with a member "summary".`,
    next,
  )
}

const recomputedExits: Readonly<Partial<Record<RecomputationReport['answer'], ExitCode>>> = {
  'other-inputs': exitCodes.notRecomputed,
  differs: exitCodes.notRecomputed,
}

function exitOf(report: VerificationReport): ExitCode {
  const { verdict, recomputed } = report
  const recomputedExit = recomputedExits[recomputed.answer]
  if (recomputedExit !== undefined) return recomputedExit
  if (isKeyMissing(report)) return exitCodes.keyUnknown
  if (verdict === 'refused') return exitCodes.refused
  if (report.withdrawn.status === 'withdrawn') return exitCodes.withdrawn
  return verdict === 'verified' ? exitCodes.done : exitCodes.keyUnknown
}

/** What to try where the answer is not "verified"; empty where it is. */
function adviceFor(report: VerificationReport, path: string, options: KeyOptions): string {
  if (isKeyMissing(report)) {
    return options.keys === undefined
      ? `Next: get the issuer's keys from the issuer, then: fairpull verify ${shellWord(path)} --keys jwks.json\n`
      : `Next: ${options.keys} lacks the key of this summary; get the issuer's present keys and try again\n`
  }
  if (report.verdict !== 'intact-key-unknown') return ''
  return `Next: if you know whose keys these are, say so: fairpull verify ${shellWord(path)} --keys ${shellWord(options.keys ?? '')} --issuer NAME\n`
}
