/** `fairpull-service <command>`: what an operator does beside serving. */
import type { Settings } from '../env.ts'
import { openStore } from '../store/store.ts'
import { type Console, Misuse } from './console.ts'
import { keysCommand } from './keys-command.ts'
import { logCommand } from './log-command.ts'
import { readOptions, type TypedCommand } from './options.ts'
import { organisationsCommand } from './organisations-command.ts'
import { trustCommand } from './trust-command.ts'

/** Everything that can be asked for. */
export const USAGE = `fairpull-service                                              serves
fairpull-service organisations list
fairpull-service organisations add --name NAME
fairpull-service keys list --organisation ID
fairpull-service keys add --organisation ID [--scopes a,b]
fairpull-service keys revoke --organisation ID --key ID
fairpull-service log check
fairpull-service log resume
fairpull-service trust show
fairpull-service trust renew --root FILE
fairpull-service trust rotate --root FILE [--overlap-hours N]
fairpull-service trust revoke --root FILE --key THUMBPRINT --from-index N
With the embedded database, stop the service first. Settings are the variables of the service.`

/**
 * Carries an operator's command out.
 *
 * @returns the exit code: 0 done, 1 something is wrong with what was looked at.
 * @throws Misuse when the command is not understood; StartRefused when the store or the keys cannot be used.
 */
export async function operate(args: readonly string[], settings: Settings, console: Console): Promise<number> {
  const { words, given } = parsed(args)
  const [subject, verb, ...more] = words
  if (subject === 'help') {
    console.print(USAGE)
    return 0
  }
  if (verb === undefined || more.length > 0) throw new Misuse(USAGE)
  if (subject === 'trust') return trustCommand(verb, given, settings, console)
  const command = { keys: keysCommand, organisations: organisationsCommand, log: logCommand }[subject ?? '']
  if (command === undefined) throw new Misuse(USAGE)
  const store = await openStore({ ...settings, notify: console.say, onLost: (reason) => console.say(reason.message) })
  try {
    return await command(verb, given, { store, settings, console })
  } finally {
    await store.close()
  }
}

function parsed(args: readonly string[]): TypedCommand {
  try {
    return readOptions(args)
  } catch (error) {
    throw new Misuse(`${error instanceof Error ? error.message : 'not understood'}\n${USAGE}`)
  }
}
