import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

/**
 * The verifier page that stands beside the compiled service.
 *
 * @throws the error of the system when the service was not built.
 */
export function builtVerifierPage(): string {
  const folder = dirname(createRequire(import.meta.url).resolve('@fairpull/service/package.json'))
  return readFileSync(join(folder, 'dist', 'verify.html'), 'utf8')
}
