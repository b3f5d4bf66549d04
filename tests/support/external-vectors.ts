import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe } from 'vitest'

/**
 * Third-party data that is not committed, read from the folder that `EXTERNAL_VECTORS` names.
 *
 * The folder has the subfolders `references/` and `vectors/`. Without it the tests that need it are not run, and say so.
 */
const root = process.env.EXTERNAL_VECTORS

/** The text of one external file. @throws Error when the folder or the file is missing. */
export function externalText(path: string): string {
  if (root === undefined || root === '') throw new Error(`EXTERNAL_VECTORS is not set; ${path} cannot be read`)
  return readFileSync(join(root, path), 'utf8')
}

/**
 * A group of tests that needs one external file.
 *
 * Runs when the file is there. Without `EXTERNAL_VECTORS` the group is skipped under a title that says what was not
 * run; with it, a missing file fails by name.
 */
export function describeExternal(title: string, path: string, body: () => void): void {
  if (root === undefined || root === '') {
    describe.skip(`NOT RUN, set EXTERNAL_VECTORS to run: ${title} (${path})`, body)
    return
  }
  if (!existsSync(join(root, path))) throw new Error(`EXTERNAL_VECTORS holds no ${path}, which "${title}" needs`)
  describe(title, body)
}
