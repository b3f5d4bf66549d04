import { describe, expect, test } from 'vitest'
import { importTarget, sourceFiles } from '../support/source-files.ts'

const CLI = 'packages/sdk/src/cli/'
const byPath = new Map(sourceFiles('packages/sdk/src').map((file) => [file.path, file]))

/** Everything that is loaded with a file: what it imports when it starts, types and what is loaded later excepted. */
function loadedWith(start: string): ReadonlySet<string> {
  const loaded = new Set<string>()
  const visit = (path: string) => {
    if (loaded.has(path)) return
    loaded.add(path)
    const file = byPath.get(path)
    const atStart = (file?.text ?? '').matchAll(/^(?:import|export) (?!type\b)[^'"]*?from '([^']+)'/gm)
    for (const [, specifier = ''] of atStart) if (file !== undefined) visit(importTarget(file, specifier))
  }
  visit(start)
  return loaded
}

const packagesIn = (loaded: ReadonlySet<string>) =>
  [...loaded].filter((path) => !path.startsWith('packages/') && !path.startsWith('node:'))
const foldersIn = (loaded: ReadonlySet<string>) =>
  new Set([...loaded].filter((path) => path.startsWith('packages/')).map((path) => path.split('/')[3]))

describe('starting the command', () => {
  test('version and help need no package and no folder but its own', () => {
    const loaded = loadedWith(`${CLI}main.ts`)
    expect(packagesIn(loaded)).toEqual([])
    expect([...foldersIn(loaded)]).toEqual(['cli'])
  })

  test('help of a word needs neither engine nor import nor client nor schemas', () => {
    const loaded = loadedWith(`${CLI}program.ts`)
    expect(packagesIn(loaded)).toEqual(['commander'])
    expect([...foldersIn(loaded)]).toEqual(['cli'])
  })

  test('the walk sees what is loaded at the start, and not what is loaded later', () => {
    const assess = loadedWith(`${CLI}commands/assess.ts`)
    expect(assess.has(`${CLI}render-result.ts`)).toBe(true)
    expect([...foldersIn(assess)]).not.toContain('engine')
    expect(packagesIn(assess)).toEqual([])
  })
})
