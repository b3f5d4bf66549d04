import { mkdir, mkdtemp, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'

/** A script of this folder as plain JavaScript, so that each of its processes starts at once. */
export interface Bundle {
  readonly file: string
  remove(): Promise<void>
}

/** Bundles a TypeScript script of this folder with the sources it imports; packages stay imports. */
export async function bundle(name: string): Promise<Bundle> {
  const here = fileURLToPath(new URL('.', import.meta.url))
  // Inside the workspace, so that its packages are found; a fresh clone has no folder of this name here.
  const modules = join(here, '..', '..', 'node_modules')
  await mkdir(modules, { recursive: true })
  const outDir = await mkdtemp(join(modules, '.bundle-'))
  await build({
    configFile: false,
    root: here,
    logLevel: 'error',
    build: { ssr: join(here, name), outDir, target: 'node20', minify: false },
  })
  return {
    file: join(outDir, name.replace(/\.ts$/, '.js')),
    remove: () => rm(outDir, { recursive: true, force: true }),
  }
}
