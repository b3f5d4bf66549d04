import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'

/** The project's root folder. */
export const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))

/** A source file with what it imports. */
export interface SourceFile {
  /** Path from the root, with forward slashes. */
  readonly path: string
  /** Its text. */
  readonly text: string
  /** Specifiers of its static and dynamic imports and re-exports. */
  readonly imports: readonly string[]
}

const IMPORT =
  /(?:^|\n)\s*(?:import|export)\b[^'"\n]*?(?:\bfrom\s*)?['"]([^'"]+)['"]|\}\s*from\s*['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]\s*\)/g

/** Every TypeScript source below a folder, tests and output excepted. */
export function sourceFiles(folder: string): readonly SourceFile[] {
  return readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts') && !entry.name.endsWith('.d.ts'))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .filter((path) => !/\/(node_modules|dist)\//.test(path))
    .toSorted()
    .map((path) => {
      const text = readFileSync(join(root, path), 'utf8')
      return { path, text, imports: [...text.matchAll(IMPORT)].map((match) => match[1] ?? match[2] ?? match[3] ?? '') }
    })
}

/** The path that a relative import leads to, from the root; the specifier itself when it names a package. */
export function importTarget(file: SourceFile, specifier: string): string {
  if (!specifier.startsWith('.')) return specifier
  return join(dirname(file.path), specifier).split(sep).join('/')
}
