/** What a browser loads for an import from the SDK: bundled, minified, and cut where modules are loaded on demand. */
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { type OutputChunk, rolldown } from 'rolldown'
import { root } from '../support/source-files.ts'

/** A bundle for browsers. */
export interface BrowserBundle {
  /** Modules of Node that any part asks for. */
  readonly nodeModules: readonly string[]
  /** What is loaded before anything is asked, in one, gzip level 9. [byte] */
  readonly atOnce: number
  /** All of it, what is loaded on demand included, gzip level 9. [byte] */
  readonly altogether: number
}

/** Bundles a module text that imports by the package's entries. */
export async function browserBundle(text: string): Promise<BrowserBundle> {
  const entry = join(root, 'packages/sdk/entry-of-a-page.js')
  const nodeModules: string[] = []
  const bundle = await rolldown({
    input: entry,
    platform: 'browser',
    plugins: [
      {
        name: 'entry',
        resolveId: (source) => {
          if (source === entry) return entry
          if (!source.startsWith('node:')) return null
          nodeModules.push(source)
          return { id: source, external: true }
        },
        load: (id) => (id === entry ? text : null),
      },
    ],
    onLog: () => undefined,
  })
  const { output } = await bundle.generate({ format: 'esm', minify: true })
  await bundle.close()
  const chunks = output.filter((part): part is OutputChunk => part.type === 'chunk')
  return { nodeModules, atOnce: gzipped(loadedAtOnce(chunks)), altogether: gzipped(chunks) }
}

function loadedAtOnce(chunks: readonly OutputChunk[]): readonly OutputChunk[] {
  const loaded = new Set(chunks.filter(({ isEntry }) => isEntry))
  for (const { imports } of loaded) {
    for (const chunk of chunks) if (imports.includes(chunk.fileName)) loaded.add(chunk)
  }
  return [...loaded]
}

function gzipped(chunks: readonly OutputChunk[]): number {
  return gzipSync(chunks.map(({ code }) => code).join('\n'), { level: 9 }).length
}
