import { spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'

const main = fileURLToPath(new URL('../../packages/sdk/dist/cli/main.js', import.meta.url))
const manifest = fileURLToPath(new URL('../../packages/sdk/package.json', import.meta.url))

interface Ended {
  readonly exit: number | null
  readonly stdout: string
  readonly stderr: string
}

/** Runs the built command as a process of its own. */
function start(
  words: readonly string[],
  use: (child: ReturnType<typeof spawn>) => void = () => undefined,
): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [main, ...words], { stdio: ['pipe', 'pipe', 'pipe'] })
    const out: string[] = []
    const err: string[] = []
    child.stdout.on('data', (chunk) => out.push(String(chunk)))
    child.stderr.on('data', (chunk) => err.push(String(chunk)))
    child.on('error', reject)
    child.on('close', (exit) => resolve({ exit, stdout: out.join(''), stderr: err.join('') }))
    use(child)
  })
}

describe('the built command', () => {
  test('prints the version of the package', async () => {
    const { version } = JSON.parse(readFileSync(manifest, 'utf8'))
    expect(await start(['--version'])).toEqual({ exit: 0, stdout: `${version}\n`, stderr: '' })
  })

  test('gives its exit code to the shell', async () => {
    expect((await start(['asess'])).exit).toBe(1)
  })

  test('reads standard input', async () => {
    const { exit, stderr } = await start(['assess', '-'], (child) => child.stdin?.end('{ "protocol": '))
    expect(exit).toBe(1)
    expect(stderr).toContain('the text ends too early')
  })

  test('a reader that goes away early is no error', async () => {
    const { stderr } = await start(['--help'], (child) => child.stdout?.destroy())
    expect(stderr).toBe('')
  })
})
