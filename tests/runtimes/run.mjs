// Runs the tests across Node versions: installs the versions, compiles what they run, and hands over to vitest.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
const tests = dirname(here)

function run(command, args, cwd) {
  const { status, error } = spawnSync(command, args, { cwd, stdio: 'inherit' })
  if (error !== undefined) throw error
  if (status !== 0) process.exit(status ?? 1)
}

if (process.platform !== 'linux' || process.arch !== 'x64') {
  process.stderr.write(
    `The pinned Node versions are those for linux-x64; this is ${process.platform}-${process.arch}.\n`,
  )
  process.exit(1)
}
const lock = readFileSync(join(here, 'package-lock.json'), 'utf8')
const stamp = join(here, 'node_modules', '.fairpull-lock')
if (!existsSync(stamp) || readFileSync(stamp, 'utf8') !== lock) {
  run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund'], here)
  writeFileSync(stamp, lock)
}
run(process.execPath, [join(dirname(tests), 'node_modules', 'typescript', 'bin', 'tsc'), '-p', here], tests)
run('npx', ['vitest', 'run', 'runtimes'], tests)
