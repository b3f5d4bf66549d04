/** Texts compared with files a person has read and kept. */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect } from 'vitest'

const folder = fileURLToPath(new URL('./golden/', import.meta.url))

/**
 * Compares a text with `golden/<name>.<kind>`. A text that differs is left beside it as `<name>.got-<kind>` for the eye;
 * `UPDATE_GOLDEN=1` keeps it as the new golden text.
 */
export function expectGolden(name: string, text: string): void {
  const path = `${folder}${name}`
  const got = path.replace(/\.(\w+)$/, '.got-$1')
  if (process.env.UPDATE_GOLDEN === '1') {
    mkdirSync(folder, { recursive: true })
    writeFileSync(path, text)
  }
  const kept = readFileSync(path, 'utf8')
  if (text === kept) rmSync(got, { force: true })
  else writeFileSync(got, text)
  expect(text).toBe(kept)
}
