/** The SDK as npm hands it out: packed, and installed where nothing of this project is in reach. */
import { execFile } from 'node:child_process'
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { root } from './source-files.ts'

const run = promisify(execFile)

/** The packed package. */
export interface PackedPackage {
  /** Path of the tarball. */
  readonly tarball: string
  /** Paths of the files in it, from the package's folder. */
  readonly files: readonly string[]
}

/** Packs the built SDK into a folder. */
export async function pack(folder: string): Promise<PackedPackage> {
  const args = ['pack', '--ignore-scripts', '--json', '--pack-destination', folder]
  const { stdout } = await run('npm', args, { cwd: join(root, 'packages/sdk'), maxBuffer: 1e8 })
  const [packed] = JSON.parse(stdout) as { filename: string; files: { path: string }[] }[]
  if (packed === undefined) throw new Error('npm packed nothing')
  return { tarball: join(folder, packed.filename), files: packed.files.map(({ path }) => path).sort() }
}

/** A folder outside the project, with the packed SDK installed in it. */
export interface Consumer {
  readonly folder: string
  readonly packed: PackedPackage
  remove(): Promise<void>
}

/** Packs the SDK and installs it with further packages, as whoever uses it would. */
export async function installConsumer(furtherPackages: readonly string[] = []): Promise<Consumer> {
  const parent = await mkdtemp(join(tmpdir(), 'fairpull-consumer-'))
  const folder = join(parent, 'consumer')
  await mkdir(folder)
  const packed = await pack(parent)
  await writeFile(join(folder, 'package.json'), JSON.stringify({ name: 'consumer', private: true, type: 'module' }))
  const quietly = ['--ignore-scripts', '--no-audit', '--no-fund', '--prefer-offline']
  await run('npm', ['install', ...quietly, packed.tarball, ...furtherPackages], { cwd: folder, maxBuffer: 1e8 })
  return { folder, packed, remove: () => rm(parent, { recursive: true, force: true }) }
}
