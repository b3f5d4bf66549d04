// Sets the project up with Node and npm alone: installs when the lock file says so, then builds.
// Imports nothing but Node itself, since it runs before anything is installed.
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const stamp = join(root, 'node_modules', '.fairpull-lock')
const MINIMUM = [20, 19]

function fail(sentence) {
  process.stderr.write(`fairpull: ${sentence}\n`)
  process.exit(1)
}

function requireNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
  if (major > MINIMUM[0] || (major === MINIMUM[0] && minor >= MINIMUM[1])) return
  fail(`needs Node ${MINIMUM.join('.')} or later, and this is ${process.versions.node}`)
}

/** Runs a command quietly; what it printed is shown only when it fails. Says on stderr what is going on after a second. */
function run(what, command, args) {
  return new Promise((resolve) => {
    const started = Date.now()
    const child = spawn(command, args, {
      cwd: root,
      stdio: ['ignore', 'pipe', 'pipe'],
      shell: process.platform === 'win32',
    })
    let output = ''
    child.stdout.on('data', (chunk) => {
      output += chunk
    })
    child.stderr.on('data', (chunk) => {
      output += chunk
    })
    const progress = setInterval(() => {
      const seconds = Math.round((Date.now() - started) / 1000)
      process.stderr.write(
        process.stderr.isTTY ? `\r${what} … ${seconds} s` : seconds % 10 === 1 ? `${what} … ${seconds} s\n` : '',
      )
    }, 1000)
    child.on('error', (error) => fail(`could not start ${command}: ${error.message}`))
    child.on('close', (code) => {
      clearInterval(progress)
      if (process.stderr.isTTY) process.stderr.write('\r\u001b[K')
      if (code === 0) return resolve()
      process.stderr.write(output)
      fail(`${what} failed (exit code ${code}); the output is above`)
    })
  })
}

function lockDigest() {
  return createHash('sha256')
    .update(readFileSync(join(root, 'package-lock.json')))
    .digest('hex')
}

async function install() {
  const digest = lockDigest()
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === digest) return
  await run('installing packages', 'npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund'])
  mkdirSync(dirname(stamp), { recursive: true })
  writeFileSync(stamp, digest)
}

async function build() {
  const tsc = join(root, 'node_modules', 'typescript', 'bin', 'tsc')
  // A build stamp without its output would make the compiler skip what is missing.
  for (const name of ['sdk', 'service']) {
    const dist = join(root, 'packages', name, 'dist')
    if (existsSync(dist) && !existsSync(join(dist, '.tsbuildinfo'))) rmSync(dist, { recursive: true })
  }
  await run('building', process.execPath, [tsc, '-b', 'packages/sdk', 'packages/service'])
  await run('bundling the verifier page', process.execPath, ['packages/service/dist/build/verifier-page.js'])
  await run('bundling the fake service', process.execPath, ['packages/service/dist/build/fake-service.js'])
}

requireNode()
await install()
await build()
