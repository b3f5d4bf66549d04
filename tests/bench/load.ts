/** Load on a server by wrk, a process of its own. */
import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { promisify } from 'node:util'

const exec = promisify(execFile)

/** Path of wrk. @throws Error that says how to install it. */
function wrk(): string {
  const found = ['/usr/bin/wrk', '/usr/local/bin/wrk', '/opt/homebrew/bin/wrk'].find((path) => existsSync(path))
  if (found === undefined) throw new Error('The bench of the service needs wrk: apt-get install wrk.')
  return found
}

/** What a server managed. */
export interface Load {
  /** Answers a second. [1/s] */
  readonly perSecond: number
  /** Answers that were not 2xx or 3xx, and connections that broke. */
  readonly failures: number
}

/** Sends requests without pause over keep-alive connections. @param script a file that says what is sent; a GET without. */
export async function load(url: string, connections: number, seconds: number, script?: string): Promise<Load> {
  const what = script === undefined ? [] : ['-s', script]
  const args = ['-t', '1', '-c', String(connections), '-d', `${seconds}s`, '--timeout', '30s', ...what, url]
  const { stdout } = await exec(wrk(), args)
  const perSecond = Number(/Requests\/sec:\s+([\d.]+)/.exec(stdout)?.[1])
  const refused = Number(/Non-2xx or 3xx responses: (\d+)/.exec(stdout)?.[1] ?? 0)
  const broken = [...(/Socket errors: (.*)/.exec(stdout)?.[1] ?? '').matchAll(/\d+/g)].map(Number)
  return { perSecond, failures: refused + broken.reduce((sum, count) => sum + count, 0) }
}
