import type { Command } from 'commander'
import type { Protocol, ProtocolCheck } from '../../contract/index.ts'
import { didYouMean } from '../../contract/nearest-name.ts'
import { type SharedOptions, type Surroundings, show } from '../command.ts'
import { CommandError } from '../command-error.ts'
import { type ExitCode, exitCodes } from '../exit-codes.ts'
import type { Page } from '../page.ts'
import type { WordContext } from '../word.ts'

/** Defines `fairpull protocols`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('[id]', 'protocol to show in full, for example motorcycle-rollers@1')
    .option('--json', 'print JSON for programs')
    .option('--plain', 'ASCII characters only')
    .action(async (id: string | undefined, options: SharedOptions) =>
      context.end(await protocols(context, id, options)),
    )
}

/** `fairpull protocols [ID]`: the list, or one protocol with every check, limit and basis. */
export async function protocols(
  around: Surroundings,
  id: string | undefined,
  options: SharedOptions,
): Promise<ExitCode> {
  const { io, tools } = around
  const known = await tools.protocols()
  if (id === undefined) {
    show(io, options, known.map(entryOf), (page) => sayList(page, known))
  } else {
    const protocol = protocolNamed(id, known)
    show(io, options, protocol, (page) => sayProtocol(page, protocol))
  }
  return exitCodes.done
}

function entryOf({ id, title }: Protocol): Pick<Protocol, 'id' | 'title'> {
  return { id, title }
}

function protocolNamed(id: string, known: readonly Protocol[]): Protocol {
  const protocol = known.find((each) => each.id === id)
  if (protocol !== undefined) return protocol
  const guess = didYouMean(
    id,
    known.map((each) => each.id),
  )
  throw new CommandError('input', `there is no protocol "${id}".${guess}`, 'fairpull protocols')
}

function sayList(page: Page, known: readonly Protocol[]): void {
  for (const { id, title, checks } of known) page.say(`${id}: ${title} (${checks.length} checks)`)
}

function sayProtocol(page: Page, protocol: Protocol): void {
  page.say(`${protocol.id}: ${protocol.title}`, { tint: 'heading' })
  for (const check of protocol.checks) sayCheck(page, check)
}

function sayCheck(page: Page, { check, severity, compares, limits, basis }: ProtocolCheck): void {
  page.section(`${check} (${severity})`)
  page.say(compares, { first: '  ' })
  for (const [name, { met, marginal, unit }] of Object.entries(limits)) {
    page.say(`${name}: met to ${met} ${unit}, marginal to ${marginal} ${unit}`, {
      first: `  ${page.look.signs.bullet} `,
    })
  }
  page.say(`Basis: ${basis}`, { first: '  ', tint: 'quiet' })
}
