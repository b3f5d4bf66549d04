/** README and DEVELOPERS are true: every code block is run, from the project's root, in the order of the document. */
import { execFile } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { root } from '../support/source-files.ts'
import { type CodeBlock, codeBlocks, isAsStated } from './code-blocks.ts'

/** How a block of each language is run; a `tree` names folders and files, which must be there. */
const RUNNERS: Readonly<Record<string, (text: string) => readonly [string, ...string[]]>> = {
  sh: (text) => ['bash', '-e', '-o', 'pipefail', '-c', text],
  js: (text) => ['node', '--input-type=module', '--eval', text],
}

/**
 * A block that says `npm test` is run as it stands. The tests it starts are held to one file by `FAIRPULL_TESTS`: this test
 * is one of them, and would start itself again.
 */
const environment = { ...process.env, FAIRPULL_TESTS: 'architecture.test.ts', NO_COLOR: '1', FORCE_COLOR: '0' }

interface Ending {
  readonly exitCode: number
  readonly firstLine: string
  readonly printed: string
}

function run({ language, text }: CodeBlock): Promise<Ending> {
  const [command, ...args] = RUNNERS[language]?.(text) ?? ['false']
  return new Promise((resolve) => {
    const child = execFile(command, args, { cwd: root, env: environment, maxBuffer: 1e8 }, (_error, stdout, stderr) => {
      const firstLine = stdout.split('\n').find((line) => line.trim() !== '') ?? ''
      resolve({ exitCode: child.exitCode ?? -1, firstLine, printed: `${stdout}\n${stderr}` })
    })
    child.stdin?.end()
  })
}

describe.each(['README.md', 'DEVELOPERS.md'])('%s', (name) => {
  const blocks = codeBlocks(readFileSync(join(root, name), 'utf8'))
  const runnable = blocks.filter(({ language }) => language in RUNNERS)

  test('has code blocks that run', () => {
    expect(runnable.length).toBeGreaterThan(0)
  })

  test('has no block of a kind that nothing runs', () => {
    const kinds = [...Object.keys(RUNNERS), 'tree']
    expect(blocks.filter(({ language }) => !kinds.includes(language)).map(({ line }) => line)).toEqual([])
  })

  test.each(runnable.map((block) => [block.line, block] as const))(
    'line %i: ends and prints as stated',
    async (_line, block) => {
      expect(block.firstLine, 'what it prints is not stated').toBeDefined()
      const ending = await run(block)
      expect(ending.exitCode, ending.printed).toBe(block.exitCode)
      expect(isAsStated(ending.firstLine, block.firstLine ?? ''), `printed: ${ending.firstLine}`).toBe(true)
    },
    120_000,
  )

  test('every path of a tree is there', () => {
    const paths = blocks.filter(({ language }) => language === 'tree').flatMap(({ text }) => pathsOf(text))
    expect(paths.filter((path) => !existsSync(join(root, path)))).toEqual([])
  })
})

/** The first word of each line, indented lines below the last line that is not. */
function pathsOf(tree: string): readonly string[] {
  let parent = ''
  return tree.split('\n').map((line) => {
    const [path = ''] = line.trim().split(/\s+/)
    if (!line.startsWith(' ')) parent = path
    return line.startsWith(' ') ? join(parent, path) : path
  })
}

test('a line with an ellipsis stands for any text in its place, and for no other line', () => {
  expect(isAsStated('VALID: 3 of 4', 'VALID: … of 4')).toBe(true)
  expect(isAsStated('INVALID: 3 of 4', 'VALID: … of 4')).toBe(false)
  expect(isAsStated('a+b', 'a+b')).toBe(true)
})
