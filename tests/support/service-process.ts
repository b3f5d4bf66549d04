/** The service as an operator runs it: the built command, in a process of its own, on the embedded database. */
import { type ChildProcess, spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const main = fileURLToPath(new URL('../../packages/service/dist/src/main.js', import.meta.url))

/** A folder for the data of one service. */
export interface DataFolder {
  readonly path: string
  remove(): void
}

/** A fresh data folder that the unprivileged user of the database can reach. */
export function createDataFolder(): DataFolder {
  const parent = mkdtempSync(join(tmpdir(), 'fairpull-test-'))
  chmodSync(parent, 0o711)
  return { path: join(parent, 'data'), remove: () => rmSync(parent, { recursive: true, force: true, maxRetries: 5 }) }
}

/** A process of the service. */
export interface ServiceProcess {
  /** Address that it answers at. */
  readonly url: string
  /** Its number at the operating system. */
  readonly pid: number
  /** The API key that it showed; undefined when it showed none. */
  readonly firstApiKey: string | undefined
  /** What it has written to stderr so far. */
  readonly stderr: () => string
  /** Sends a signal, and resolves with the exit code, or the signal that ended it. */
  end(signal: NodeJS.Signals): Promise<number | string>
  /** Sends a signal. */
  signal(signal: NodeJS.Signals): void
  /** Resolves with the exit code, or the signal that ended it. */
  readonly ended: Promise<number | string>
}

/** Starts the service and resolves when it answers. @throws Error with what it said, when it ends instead. */
export async function startProcess(
  dataFolder: string,
  environment: Readonly<Record<string, string>> = {},
): Promise<ServiceProcess> {
  const { child, ended, stderr } = launch(dataFolder, environment)
  const greeted = new Promise<void>((resolve, reject) => {
    child.stderr?.on('data', () => /^Fairpull answers at .*$/m.test(stderr()) && resolve())
    void ended.then((code) => reject(new Error(`the service ended with ${code}:\n${stderr()}`)))
  })
  await greeted
  const url = /Fairpull answers at (\S+)/.exec(stderr())?.[1] ?? ''
  return {
    url,
    pid: child.pid ?? 0,
    firstApiKey: /shown this once: (\S+)/.exec(stderr())?.[1],
    stderr,
    ended,
    signal: (signal) => child.kill(signal),
    end: (signal) => {
      child.kill(signal)
      return ended
    },
  }
}

/** Starts the service where it cannot start, and resolves with what it said and its exit code. */
export async function startRefusal(dataFolder: string, environment: Readonly<Record<string, string>> = {}) {
  const { ended, stderr } = launch(dataFolder, environment)
  const code = await ended
  return { code, stderr: stderr() }
}

/** Starts the service, sends it a signal as soon as its data folder is there, and resolves with its exit code. */
export async function startInterrupted(dataFolder: string, signal: NodeJS.Signals) {
  const { child, ended, stderr } = launch(dataFolder, {})
  while (!existsSync(join(dataFolder, 'postgres'))) await new Promise((resolve) => setTimeout(resolve, 5))
  child.kill(signal)
  const code = await ended
  return { code, stderr: stderr() }
}

function launch(dataFolder: string, environment: Readonly<Record<string, string>>) {
  const child: ChildProcess = spawn(process.execPath, [main], {
    env: { PATH: process.env.PATH, FAIRPULL_DATA: dataFolder, PORT: '0', ...environment },
    stdio: ['ignore', 'ignore', 'pipe'],
  })
  const chunks: Buffer[] = []
  child.stderr?.on('data', (chunk) => chunks.push(chunk))
  const ended = new Promise<number | string>((resolve) =>
    child.once('close', (code, signal) => resolve(code ?? signal ?? '')),
  )
  return { child, ended, stderr: () => Buffer.concat(chunks).toString() }
}
