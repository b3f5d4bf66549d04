// Runs the browser tests: installs what they need besides the project, finds a browser, and hands over to vitest.
import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
const tests = dirname(here)

function run(command, args, cwd, env = process.env) {
  const { status, error } = spawnSync(command, args, { cwd, env, stdio: 'inherit' })
  if (error !== undefined) throw error
  return status ?? 1
}

function fail(sentence) {
  process.stderr.write(`${sentence}\n`)
  process.exit(1)
}

/** The browser: the one that CHROMIUM names, else one of the usual places, else Debian's package, installed now. */
function browser() {
  const candidates = [process.env.CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']
  const find = () => candidates.find((path) => path !== undefined && path !== '' && existsSync(path))
  const found = find()
  if (found !== undefined) return found
  if (!existsSync('/usr/bin/apt-get')) {
    fail('The browser tests need Chromium: install it, and say where it is with CHROMIUM=/path/to/chromium.')
  }
  process.stdout.write('installing chromium from Debian …\n')
  const options = { stdio: ['ignore', 'ignore', 'inherit'], env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } }
  spawnSync('apt-get', ['update', '-qq'], options)
  spawnSync('apt-get', ['install', '-y', '-qq', 'chromium'], options)
  return find() ?? fail('Chromium could not be installed; say where there is one with CHROMIUM=/path/to/chromium.')
}

if (!existsSync(join(here, 'node_modules', 'playwright-core'))) {
  if (run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund'], here) !== 0) process.exit(1)
}
const tsc = join(dirname(tests), 'node_modules', 'typescript', 'bin', 'tsc')
if (run(process.execPath, [tsc, '-p', here], tests) !== 0) process.exit(1)
process.exit(run('npx', ['vitest', 'run', 'browser'], tests, { ...process.env, CHROMIUM: browser() }))
