import type { Command } from 'commander'
import { printJson, type SharedOptions } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodes } from '../exit-codes.ts'
import { serviceClient } from '../service-client.ts'
import { shellWord } from '../text.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull publish`. */
export interface PublishCommandOptions extends SharedOptions {
  /** Address of the service that signed it. */
  readonly service?: string
  /** API key. Absent: FAIRPULL_KEY. */
  readonly key?: string
  /** Whether the runs are made public, too. */
  readonly runs?: boolean
  /** Whether the person knows that it stays public. */
  readonly yes?: boolean
}

/** Defines `fairpull publish`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('<id>', 'identity of a summary that the service signed for you')
    .option('--service <url>', 'the service that signed it')
    .option('--key <key>', 'API key; better kept in the variable FAIRPULL_KEY')
    .option('--runs', 'make the runs public, too, so that anybody can compute it again')
    .option('--yes', 'you know that it stays public')
    .option('--json', 'print JSON for programs')
    .addHelpText(
      'after',
      '\nA published summary cannot be made private again; it can be withdrawn, and that\nstays visible.\n\nExample:\n  fairpull publish 01890000-0000-7000-8000-000000000001 --service URL --runs --yes',
    )
    .action(async (id: string, options: PublishCommandOptions) => context.end(await publish(context, id, options)))
}

/** `fairpull publish ID`: from now on anybody may read the summary. */
async function publish({ io }: WordContext, id: string, options: PublishCommandOptions): Promise<ExitCode> {
  const { service, runs = false } = options
  const again = `fairpull publish ${shellWord(id)} --service ${shellWord(service ?? 'URL')}${runs ? ' --runs' : ''} --yes`
  if (service === undefined) {
    throw new CommandError(
      'input',
      'a summary is published by the service that signed it; its address is missing.',
      again,
    )
  }
  if (options.yes !== true) {
    throw new CommandError(
      'input',
      `the summary ${id} would be public for good${runs ? ', with its runs' : ', without its runs'}. Nothing was done; if you mean it, say --yes.`,
      again,
    )
  }
  const client = await serviceClient(io, { ...options, service })
  const published = await client.summaries.publish(id, { runs, signal: io.signal })
  if (options.json === true) printJson(io, published)
  else {
    const what = published.withRuns ? 'with its runs' : 'without its runs'
    io.stdout.write(`Public since ${published.publishedAt}, ${what}:\n  ${addressOf(service, id)}\n`)
  }
  return exitCodes.done
}

function addressOf(service: string, id: string): string {
  return `${service.replace(/\/+$/, '')}/v1/summaries/${encodeURIComponent(id)}`
}
