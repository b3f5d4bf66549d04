// Runs the tests of the packed package: installs the tools they need besides the project, and hands over to vitest.
// With --update the committed snapshots (files of the package, api.md) are written anew.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
const tests = dirname(here)
const tsc = join(dirname(tests), 'node_modules', 'typescript', 'bin', 'tsc')

function run(command, args, cwd) {
  const { status, error } = spawnSync(command, args, { cwd, stdio: 'inherit' })
  if (error !== undefined) throw error
  if (status !== 0) process.exit(status ?? 1)
}

/** Installs what the lock file says, once for each state of it. */
function install() {
  const lock = readFileSync(join(here, 'package-lock.json'), 'utf8')
  const stamp = join(here, 'node_modules', '.fairpull-lock')
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === lock) return
  run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund'], here)
  writeFileSync(stamp, lock)
}

install()
run(process.execPath, [tsc, '-p', here], tests)
const update = process.argv.includes('--update') ? ['--update'] : []
run('npx', ['vitest', 'run', 'package', 'consumers', ...update], tests)
