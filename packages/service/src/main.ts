#!/usr/bin/env node
/** The command that serves, `npm start`, and with words behind it an operator's command. What a person needs is said on stderr, one line each. */
import { relative } from 'node:path'
import { readSettings, type Settings } from './env.ts'
import { createLineLog } from './http/log.ts'
import { Misuse } from './operator/console.ts'
import { operate } from './operator/operate.ts'
import { type RunningService, startService } from './start-service.ts'
import { StartRefused } from './store/failure.ts'

const read = readSettings(process.env, process.cwd())
const args = process.argv.slice(2)
if (!read.ok) fail(read.sentences)
else if (args.length === 0) await run(read.settings)
else process.exitCode = await operated(read.settings)

/** An operator's command; exit code 2 when it was not understood. */
async function operated(settings: Settings): Promise<number> {
  try {
    return await operate(args, settings, { say, print: (line) => process.stdout.write(`${line}\n`) })
  } catch (error) {
    if (error instanceof StartRefused) fail([error.message])
    if (!(error instanceof Misuse)) throw error
    say(error.message)
    return 2
  }
}

async function run(settings: Settings): Promise<void> {
  const log = createLineLog(
    () => new Date(),
    (line) => process.stderr.write(line),
  )
  const starting = startService(settings, { log, notify: say, onLost: (reason) => fail([reason.message]) })
  stopOnSignal(starting)
  try {
    greet(await starting, settings)
  } catch (error) {
    if (!(error instanceof StartRefused)) throw error
    fail([error.message])
  }
}

function greet(service: RunningService, settings: Settings): void {
  const folder = relative(process.cwd(), settings.dataFolder) || '.'
  say(`Data folder: ${folder}; keep a backup of it.`)
  say(`Signing key ${service.keyId} is in ${relative(process.cwd(), service.keyFolder)}; whoever has it signs as you.`)
  if (service.firstApiKey !== undefined) say(`Your API key, shown this once: ${service.firstApiKey}`)
  say(`Fairpull answers at ${service.url} (description: ${service.url}/openapi.json).`)
}

/**
 * The first signal lets requests under way finish; the second ends the process at once. A signal during the start waits
 * for its end, so that no database is left behind.
 */
function stopOnSignal(starting: Promise<RunningService>): void {
  for (const signal of ['SIGTERM', 'SIGINT'] as const) {
    process.once(signal, async () => {
      process.once('SIGTERM', () => process.exit(1))
      process.once('SIGINT', () => process.exit(1))
      say('Stopping; requests under way are answered first. A second signal stops at once.')
      const service = await starting
      await service.stop()
      process.exit(0)
    })
  }
}

function say(sentence: string): void {
  process.stderr.write(`${sentence}\n`)
}

function fail(sentences: readonly string[]): never {
  for (const sentence of sentences) say(sentence)
  process.exit(1)
}
