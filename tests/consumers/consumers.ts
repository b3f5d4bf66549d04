/** The programmes in this folder, beside an installed package: compiled, bundled, run. */
import { execFile } from 'node:child_process'
import { cp, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { assess } from '@fairpull/sdk/engine'
import { signedFixture } from '@fairpull/sdk/testing'
import { canonicalJsonBytes, sha256Text } from '@fairpull/sdk/verify'
import { rolldown } from 'rolldown'
import { type Consumer, installConsumer } from '../support/packed-package.ts'
import { root } from '../support/source-files.ts'

const exec = promisify(execFile)

/** What every programme is given, and the digest of the result that it must come to. */
export const given = await signedFixture()

/** Digest of the result as the project itself computes it. */
export const expectedDigest = await sha256Text(canonicalJsonBytes(await assess(given.comparison)))

/** A folder with the package, the programmes and their comparison. */
export async function installedConsumers(): Promise<Consumer> {
  const consumer = await installConsumer()
  for (const name of ['esm', 'commonjs', 'bundler']) {
    await cp(join(root, 'tests/consumers', name), join(consumer.folder, name), { recursive: true })
  }
  await writeFile(join(consumer.folder, 'comparison.json'), JSON.stringify(given.comparison))
  return consumer
}

/** Compiles one programme by its own settings. @throws Error with what the compiler says. */
export async function compile({ folder }: Consumer, name: string): Promise<void> {
  const tsc = join(root, 'node_modules/typescript/bin/tsc')
  const typeRoots = join(root, 'node_modules/@types')
  try {
    await exec(process.execPath, [tsc, '-p', name, '--typeRoots', typeRoots], { cwd: folder })
  } catch (error) {
    throw new Error(`${name} does not compile:\n${String((error as { stdout?: string }).stdout)}`)
  }
}

/** Runs a programme and reads the JSON that it prints. */
export async function run({ folder }: Consumer, script: string): Promise<unknown> {
  const { stdout, stderr } = await exec(process.execPath, [script], { cwd: folder })
  if (stderr !== '') throw new Error(stderr)
  return JSON.parse(stdout)
}

/** The page's programme as one text for browsers. */
export async function bundledPage({ folder }: Consumer): Promise<string> {
  const bundle = await rolldown({ input: join(folder, 'bundler/main.ts'), platform: 'browser', onLog: () => undefined })
  const { output } = await bundle.generate({ format: 'iife', codeSplitting: false })
  await bundle.close()
  return output[0].code
}
