import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { serviceMain } from '../../packages/sdk/src/cli/commands/serve.ts'
import { words } from '../../packages/sdk/src/cli/words.ts'
import { fairpull } from './command.ts'
import { validResult } from './results.ts'
import { files, signedFiles } from './sample-files.ts'

describe('every word', () => {
  test.each(words.map(({ name }) => name))('%s has help that fits 80 columns', async (name) => {
    const { exit, stdout, stderr } = await fairpull([name, '--help'])
    expect([exit, stderr]).toEqual([0, ''])
    const text = stdout.split('\n').filter((line) => !line.startsWith('  fairpull '))
    expect(Math.max(...text.map(({ length }) => length))).toBeLessThanOrEqual(80)
  })

  test.each(words.map(({ name }) => name))('help %s is the same as %s --help', async (name) => {
    expect((await fairpull(['help', name])).stdout).toBe((await fairpull([name, '--help'])).stdout)
  })

  test('is found by its mistyped name', async () => {
    for (const { name } of words) {
      const typed = `${name.slice(0, 1)}${name.slice(2)}`
      expect((await fairpull([typed])).stderr, typed).toContain(`Did you mean ${name}?`)
    }
  })
})

describe('fairpull recompute', () => {
  test('says that the result comes out again', async () => {
    const signed = await signedFiles()
    const { exit, stdout } = await fairpull(
      ['recompute', 'summary.jws', 'comparison.json', '--keys', 'trust.json', '--json'],
      { files: signed.files, assess: signed.result },
    )
    expect(exit).toBe(0)
    expect(JSON.parse(stdout).recomputed.answer).toBe('identical')
  })

  test('of other data ends with the code for it', async () => {
    const signed = await signedFiles()
    const words = ['recompute', 'summary.jws', 'other.json', '--keys', 'trust.json']
    expect((await fairpull(words, { files: signed.files, assess: signed.result })).exit).toBe(6)
  })

  test('asks for the keys without which nothing is recomputed', async () => {
    const { exit, stderr } = await fairpull(['recompute', 'summary.jws', 'comparison.json'])
    expect(exit).toBe(1)
    expect(stderr).toMatch(/Next: fairpull recompute summary.jws comparison.json --keys jwks.json\n$/)
  })
})

describe('fairpull serve', () => {
  test('finds the service that is installed beside it', () => {
    const main = serviceMain([import.meta.url])
    expect(main).toMatch(/dist.src.main\.js$/)
    expect(existsSync(String(main))).toBe(true)
  })

  test('finds none where none is installed', () => {
    expect(serviceMain(['/here.js'])).toBeUndefined()
  })
})

describe('fairpull completion', () => {
  /** What bash offers for the last of these words. */
  async function offered(...typed: readonly string[]): Promise<readonly string[]> {
    const { stdout } = await fairpull(['completion', 'bash'])
    const line = `COMP_WORDS=(${typed.map((word) => `'${word}'`).join(' ')}); COMP_CWORD=${typed.length - 1}`
    const script = `${stdout}\n${line}\n_fairpull\nprintf '%s\\n' "\${COMPREPLY[@]}"`
    return execFileSync('bash', ['-c', script], { encoding: 'utf8' }).trim().split('\n')
  }

  test('offers words, options of the word, and words to be helped with', async () => {
    expect(await offered('fairpull', 'ch')).toEqual(['check'])
    expect(await offered('fairpull', 'assess', '--st')).toEqual(['--strict'])
    expect(await offered('fairpull', 'help', 'ver')).toEqual(['verify'])
    expect(await offered('fairpull', 'assess', 'somewhere')).toEqual([''])
  })

  test.each(['zsh', 'fish'])('%s: the script names every word', async (shell) => {
    const { exit, stdout } = await fairpull(['completion', shell])
    expect(exit).toBe(0)
    for (const { name } of words) expect(stdout).toContain(name)
  })

  test('another shell is named, with those there are', async () => {
    const { exit, stderr } = await fairpull(['completion', 'tcsh'])
    expect(exit).toBe(1)
    expect(stderr).toContain('bash, zsh, fish')
  })
})

describe('progress', () => {
  afterEach(() => {
    vi.useRealTimers()
  })

  test('quick work shows none', async () => {
    const { stderr } = await fairpull(['assess', 'bench/comparison.json'], { files, assess: validResult })
    expect(stderr).toBe('')
  })

  test('reading that takes longer than a second says what is read, each file once', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval'] })
    let isDone = false
    const outcome = fairpull(['assess', 'bench/comparison.json'], { files, assess: validResult, delay_ms: 1600 })
    void outcome.then(() => {
      isDone = true
    })
    while (!isDone) {
      await vi.advanceTimersByTimeAsync(100)
      await new Promise(setImmediate)
    }
    const { exit, stdout, stderr } = await outcome
    expect(exit).toBe(0)
    expect(stdout).toContain('VALID')
    expect(stderr).toBe('Reading bench/runs/b1.csv …\nReading bench/runs/m1.csv …\n')
  })

  test('reading that is interrupted ends at once, with the code for it', async () => {
    const interruption = new AbortController()
    const outcome = fairpull(['assess', 'bench/comparison.json'], {
      files,
      delay_ms: 60_000,
      signal: interruption.signal,
    })
    interruption.abort()
    expect(await outcome).toMatchObject({ exit: 130, stdout: '' })
  })

  test('a long computation is announced before it begins', async () => {
    const values = Array.from({ length: 150_000 }, (_, k) => 3000 + k / 20)
    const channels = {
      time: { unit: 's', values },
      engineSpeed: { unit: 'rpm', values },
      wheelPower: { unit: 'kW', values },
      torque: { unit: 'N m', values },
    }
    const runs = ['b1', 'm1'].map((id, k) => ({
      id,
      side: k === 0 ? 'baseline' : 'modified',
      purpose: 'measured',
      channels,
    }))
    const document = JSON.stringify({ protocol: 'motorcycle-rollers@1', runs })
    const { stderr } = await fairpull(['assess', 'long.json'], {
      files: { 'long.json': document },
      assess: validResult,
    })
    expect(stderr).toBe('Assessing 2 runs with 1200000 values …\n')
  })
})
