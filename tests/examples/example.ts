/** Programmes of the SDK's examples, run as their readers run them. */
import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'

/** How a programme ended. */
export interface Ended {
  readonly exit: unknown
  readonly stdout: string
  readonly stderr: string
}

/** Path of a file of the examples. */
export function exampleFile(path: string): string {
  return fileURLToPath(new URL(`../../packages/sdk/examples/${path}`, import.meta.url))
}

/** Runs a programme in a folder. */
export function runIn(
  cwd: string,
  words: readonly string[],
  environment: Readonly<Record<string, string>> = {},
): Promise<Ended> {
  const env = { ...process.env, ...environment }
  return new Promise((resolve) => {
    execFile(process.execPath, words, { cwd, env }, (error, stdout, stderr) => {
      resolve({ exit: error === null ? 0 : error.code, stdout, stderr })
    })
  })
}
