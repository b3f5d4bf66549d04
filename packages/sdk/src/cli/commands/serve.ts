import { spawn } from 'node:child_process'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import type { Command } from 'commander'
import { CommandError } from '../command-error.ts'
import { exitCodes } from '../exit-codes.ts'
import type { WordContext } from '../word.ts'

/** Options of `fairpull serve`. */
export interface ServeCommandOptions {
  /** TCP port. */
  readonly port?: string
  /** Folder of keys and database. */
  readonly data?: string
}

/** Defines `fairpull serve`. */
export function define(command: Command, context: WordContext): void {
  command
    .option('--port <number>', 'TCP port on 127.0.0.1; default 8787, or the variable PORT')
    .option('--data <folder>', 'folder of keys and database; or the variable FAIRPULL_DATA')
    .addHelpText(
      'after',
      '\nStarts the service, where its package is installed beside this one. It takes\nthe same environment variables as the service does.\n\nExample:\n  fairpull serve --port 8787 --data ./fairpull-data',
    )
    .action(async (options: ServeCommandOptions) => {
      const main = serviceMain([join(process.cwd(), 'here.js'), import.meta.url])
      if (main === undefined) throw notInstalled()
      context.end((await serve(context, main, options)) === 0 ? exitCodes.done : exitCodes.service)
    })
}

/**
 * The main file of the service as it is installed; undefined where it is not.
 *
 * @param from files from whose place it is looked for, in this order.
 */
export function serviceMain(from: readonly string[]): string | undefined {
  for (const place of from) {
    try {
      const manifest = createRequire(place).resolve('@fairpull/service/package.json')
      return join(dirname(manifest), 'dist', 'src', 'main.js')
    } catch {
      // Not to be found from here; the next place may have it.
    }
  }
  return undefined
}

function notInstalled(): CommandError {
  return new CommandError(
    'input',
    'the service is not installed here: it is a package of its own, @fairpull/service.',
    'npm install @fairpull/service, then: fairpull serve',
  )
}

/** Hands streams and signals through, and ends as the service ends. */
function serve({ io }: WordContext, main: string, { port, data }: ServeCommandOptions): Promise<number> {
  const env = {
    ...io.env,
    ...(port === undefined ? {} : { PORT: port }),
    ...(data === undefined ? {} : { FAIRPULL_DATA: data }),
  }
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [main], { stdio: 'inherit', env })
    io.signal.addEventListener('abort', () => child.kill('SIGTERM'), { once: true })
    child.on('error', reject)
    child.on('close', (code) => resolve(code ?? 1))
  })
}
