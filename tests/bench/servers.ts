/** The service and what it is held against, each in a process of its own. */
import { spawn } from 'node:child_process'
import { join } from 'node:path'
import process from 'node:process'
import { createDataFolder, type ServiceProcess, startProcess } from '../support/service-process.ts'
import { root } from '../support/source-files.ts'

/** A service with a key, on an empty embedded database, without a limit of requests. */
export interface BenchService {
  readonly process: ServiceProcess
  readonly apiKey: string
  end(): Promise<void>
}

/** Starts the service. */
export async function startService(): Promise<BenchService> {
  const folder = createDataFolder()
  const service = await startProcess(folder.path, { FAIRPULL_RATE_LIMIT: '0' })
  const end = async () => {
    await service.end('SIGTERM')
    folder.remove()
  }
  return { process: service, apiKey: service.firstApiKey ?? '', end }
}

/** Hono with nothing behind it. */
export interface BareServer {
  readonly url: string
  end(): void
}

/** Starts bare hono. */
export async function startBare(): Promise<BareServer> {
  const child = spawn(process.execPath, [join(root, 'tests/bench/programs/bare.mjs')], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  // A bench that is broken off leaves nothing behind.
  process.once('exit', () => child.kill())
  const port = await new Promise<string>((resolve, reject) => {
    child.stdout.once('data', (line) => resolve(String(line).trim()))
    child.once('exit', (code) => reject(new Error(`bare hono ended with ${code}`)))
  })
  return { url: `http://127.0.0.1:${port}`, end: () => void child.kill() }
}
