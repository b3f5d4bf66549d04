import type { Command } from 'commander'
import type { PlanRecord } from '../../contract/index.ts'
import { readInput, type SharedOptions, type Surroundings, show } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodes } from '../exit-codes.ts'
import type { CommandIo } from '../io.ts'
import { sayPlan, sayPlanRecord } from '../render-plan.ts'
import { serviceClient } from '../service-client.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull plan`. */
export interface PlanCommandOptions extends SharedOptions {
  /** Address of a service. Absent: the plan is only looked at. */
  readonly service?: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
}

/** Defines `fairpull plan`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('<file>', 'plan file (JSON), - for standard input; or the word show')
    .argument('[id]', 'after show: identity of a registered plan')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .option('--service <url>', 'register it with this service')
    .option('--key <key>', 'API key; better kept in the variable FAIRPULL_KEY')
    .addHelpText(
      'after',
      '\nWithout --service the plan is only looked at: what it would freeze, and in which\norder the runs are to be made.\n\nExamples:\n  fairpull plan silencer.plan.json\n  fairpull plan silencer.plan.json --service URL\n  fairpull plan show 01890000-0000-7000-8000-000000000001 --service URL',
    )
    .action(async (file: string, id: string | undefined, options: PlanCommandOptions) =>
      context.end(await plan(context, [file, id], options)),
    )
}

/** `fairpull plan FILE`, `fairpull plan show ID`. */
export async function plan(
  around: Surroundings,
  [file, id]: readonly [string, string | undefined],
  options: PlanCommandOptions,
): Promise<ExitCode> {
  if (file === 'show') return showPlan(around.io, id, options)
  if (id !== undefined) throw new CommandError('input', `one plan file is read; "${id}" is one word too many.`, HELP)
  const { readPlanText } = await import('../../import/plan-text.ts')
  const terms = readPlanText(await readInput(around.io, file, HELP))
  if (options.service === undefined) {
    show(around.io, options, terms, (page) => sayPlan(page, terms))
    around.io.stderr.write(`Not registered. Next: fairpull plan ${file} --service URL\n`)
    return exitCodes.done
  }
  const client = await serviceClient(around.io, { ...options, service: options.service })
  const { draw } = terms
  const { blocks: _, ...drawn } = terms
  const record = await client.plans.create(draw === undefined ? terms : drawn, { signal: around.io.signal })
  show(around.io, options, record, (page) => sayPlanRecord(page, record))
  around.io.stderr.write(`Registered. Send every run with the challenge of the plan; see it again with:\n`)
  around.io.stderr.write(`  fairpull plan show ${record.id} --service ${options.service}\n`)
  return exitCodes.done
}

const HELP = 'fairpull plan --help'

async function showPlan(io: CommandIo, id: string | undefined, options: PlanCommandOptions): Promise<ExitCode> {
  if (id === undefined) throw new CommandError('input', 'the identity of the plan is missing.', HELP)
  if (options.service === undefined) {
    throw new CommandError(
      'input',
      'a registered plan is read from the service that has it.',
      `fairpull plan show ${id} --service URL`,
    )
  }
  const client = await serviceClient(io, { ...options, service: options.service })
  const record: PlanRecord = await client.plans.get(id, { signal: io.signal })
  show(io, options, record, (page) => sayPlanRecord(page, record))
  return exitCodes.done
}
