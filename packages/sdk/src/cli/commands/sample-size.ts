import type { Command } from 'commander'
import type { SampleSizeReport, SampleSizeTarget, Swap } from '../../contract/index.ts'
import type { UnrecordedRequest } from '../../import/sample-size-text.ts'
import { readInput, type SharedOptions, type Surroundings, show } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodes } from '../exit-codes.ts'
import { saySampleSize } from '../render-sample-size.ts'
import { serviceClient } from '../service-client.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull sample-size`; numbers as they were typed. */
export interface SampleSizeCommandOptions extends SharedOptions {
  /** Half-width of the interval. [%] */
  readonly halfWidth?: string
  /** Claimed gain. [%] */
  readonly atLeast?: string
  /** How far the true gain is expected to lie above it. [%] */
  readonly slack?: string
  /** Chance of support. [%] */
  readonly chance?: string
  /** Working time of the swap. [min] */
  readonly swap?: string
  /** Whether the swap takes the machine off the rollers. */
  readonly offRollers?: boolean
  /** Whether the swap cannot be undone. */
  readonly irreversible?: boolean
  /** Width of the band of a band mean. [rpm] */
  readonly bandWidth?: string
  /** File that holds a facility record. */
  readonly record?: string
  /** Protocol whose typical values and limits are used. */
  readonly protocol: string
  /** Address of a service. Absent: the engine of this package. */
  readonly service?: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
}

/** Defines `fairpull sample-size`. */
export function define(command: Command, context: WordContext): void {
  command
    .option('--half-width <percent>', 'half-width of the interval that is wanted')
    .option('--at-least <percent>', 'or: the gain that is to be claimed')
    .option('--slack <percent>', 'with --at-least: how far above it the gain will lie')
    .option('--chance <percent>', 'chance of support, 50 to 99; else 80')
    .option('--swap <minutes>', 'how long it takes to fit the part')
    .option('--off-rollers', 'it cannot be fitted while the machine is strapped down')
    .option('--irreversible', 'it cannot be taken off again')
    .option('--band-width <rpm>', 'width of the band whose mean is claimed')
    .option('--record <file>', 'facility record, or a comparison that holds one (JSON)')
    .option('--protocol <id>', 'protocol to plan for', 'motorcycle-rollers@1')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .option('--service <url>', 'ask this service')
    .option('--key <key>', 'API key; better kept in the variable FAIRPULL_KEY')
    .addHelpText(
      'after',
      '\nWithout --record the typical values of the protocol stand in, assumed.\n\nExamples:\n  fairpull sample-size --half-width 1 --swap 15\n  fairpull sample-size --at-least 3 --slack 1.2 --swap 240 --off-rollers\n  fairpull sample-size --half-width 1 --record comparison.json',
    )
    .action(async (options: SampleSizeCommandOptions) => context.end(await sampleSize(context, options)))
}

const HELP = 'fairpull sample-size --help'

/** `fairpull sample-size`: in this process, or by a service. */
export async function sampleSize(around: Surroundings, options: SampleSizeCommandOptions): Promise<ExitCode> {
  const report = await reportFor(around, options)
  show(around.io, options, report, (page) => saySampleSize(page, report))
  return exitCodes.done
}

async function reportFor(around: Surroundings, options: SampleSizeCommandOptions): Promise<SampleSizeReport> {
  const { io, tools } = around
  const { record, service } = options
  const { readSampleSizeText } = await import('../../import/sample-size-text.ts')
  const source = record === undefined ? undefined : await readInput(io, record, HELP)
  const request = readSampleSizeText(requestOf(options), source)
  if (service === undefined) return tools.adviseSampleSize(request)
  const client = await serviceClient(io, { ...options, service })
  return client.sampleSizes.create(request, { signal: io.signal })
}

function requestOf(options: SampleSizeCommandOptions): UnrecordedRequest {
  const { bandWidth, protocol } = options
  const swap = swapOf(options)
  return {
    protocol,
    target: targetOf(options),
    ...(swap === null ? {} : { swap }),
    ...(bandWidth === undefined ? {} : { bandWidth: { value: numberIn('--band-width', bandWidth), unit: 'rpm' } }),
  }
}

function targetOf({ halfWidth, atLeast, slack, chance }: SampleSizeCommandOptions): SampleSizeTarget {
  if (halfWidth !== undefined) {
    const other = Object.entries({ '--at-least': atLeast, '--slack': slack, '--chance': chance })
    const named = other.find(([, value]) => value !== undefined)
    if (named !== undefined) throw new CommandError('input', `--half-width and ${named[0]} are two questions.`, HELP)
    return { kind: 'half-width', halfWidth: { value: numberIn('--half-width', halfWidth), unit: '%' } }
  }
  if (atLeast === undefined || slack === undefined) {
    throw new CommandError(
      'input',
      'nothing is aimed at: give --half-width, or --at-least with --slack.',
      'fairpull sample-size --half-width 1 --swap 15',
    )
  }
  return {
    kind: 'claim',
    atLeast: { value: numberIn('--at-least', atLeast), unit: '%' },
    slack: { value: numberIn('--slack', slack), unit: '%' },
    ...(chance === undefined ? {} : { chance: numberIn('--chance', chance) / 100 }),
  }
}

function swapOf({ swap, offRollers, irreversible }: SampleSizeCommandOptions): Swap | null {
  if (swap === undefined) {
    const flag = offRollers === true ? '--off-rollers' : irreversible === true ? '--irreversible' : null
    if (flag !== null) throw new CommandError('input', `${flag} needs --swap: how many minutes does it take?`, HELP)
    return null
  }
  return { onRollers: offRollers !== true, reversible: irreversible !== true, minutes: numberIn('--swap', swap) }
}

/** A number as people type it in a shell. */
function numberIn(option: string, text: string): number {
  const value = Number(text)
  if (text.trim() !== '' && Number.isFinite(value)) return value
  throw new CommandError('input', `${option} takes a number such as 1.5, and not "${text}".`, HELP)
}
