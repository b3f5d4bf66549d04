/**
 * From nothing to a first verdict, in a new folder with the packed package: every command, and what it printed, is written
 * to tests/journeys/newcomer.md, which is held against it.
 */
import { execFile } from 'node:child_process'
import { cp, mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { pack } from '../support/packed-package.ts'

let folder: string

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'fairpull-newcomer-'))
})

afterAll(() => rm(folder, { recursive: true, force: true }))

/** One thing that a newcomer does. */
interface Step {
  readonly why: string
  readonly command: string
  readonly exit: number
}

const EXAMPLES = 'node_modules/@fairpull/sdk/examples'

const steps: readonly Step[] = [
  { why: 'Install it.', command: 'npm install ./fairpull-sdk.tgz', exit: 0 },
  { why: 'What can it do?', command: 'npx fairpull --help', exit: 0 },
  { why: 'Lay out a session of my own.', command: 'npx fairpull init my-session', exit: 0 },
  { why: 'What is missing before I can run?', command: 'npx fairpull check my-session', exit: 2 },
  {
    why: 'No runs yet: take the session that comes with the package.',
    command: `cp -r ${EXAMPLES}/vendor/session session && npx fairpull check session`,
    exit: 0,
  },
  { why: 'The first verdict.', command: 'npx fairpull assess session', exit: 0 },
  {
    why: 'And somebody’s advertisement, of which only two figures are known?',
    command: `node ${EXAMPLES}/reviewer/check-claim.mjs 71.2 73.9 kW`,
    exit: 0,
  },
]

/** Settings without which npm adds what depends on the day. */
const quietNpm = { npm_config_update_notifier: 'false', npm_config_audit: 'false', npm_config_fund: 'false' }

/** Runs a command as a person does at a terminal of 80 columns without colours. */
function typed(command: string): Promise<{ exit: number; printed: string }> {
  const { PATH, HOME } = process.env
  const env = { PATH, HOME, NO_COLOR: '1', COLUMNS: '80', LANG: 'C.UTF-8', ...quietNpm }
  return new Promise((resolve) => {
    const child = execFile('bash', ['-c', `${command} 2>&1`], { cwd: folder, env, maxBuffer: 1e8 }, (_, stdout) =>
      resolve({ exit: child.exitCode ?? -1, printed: stdout }),
    )
  })
}

/** What another day or machine would print otherwise: times, counts of packages, the folder, the progress of slow work. */
function stable(printed: string): string {
  return printed
    .replaceAll(folder, '~/new-folder')
    .replaceAll(/added \d+ packages?, and audited \d+ packages?/g, 'added … packages, and audited … packages')
    .replaceAll(/added \d+ packages? in \S+/g, 'added … packages in …')
    .replaceAll(/\d{4}-\d{2}-\d{2}/g, 'YYYY-MM-DD')
    .replaceAll(/^[A-Z]\w+ing .*…\n/gm, '')
    .trim()
}

test('a newcomer comes to a verdict, and every command prints what is written down', async () => {
  const { tarball } = await pack(folder)
  expect(basename(tarball)).toMatch(/^fairpull-sdk-.*\.tgz$/)
  await cp(tarball, join(folder, 'fairpull-sdk.tgz'))
  await rm(tarball)

  const sections: string[] = []
  for (const [index, { why, command, exit }] of steps.entries()) {
    const ending = await typed(command)
    expect(ending.exit, `${command}\n${ending.printed}`).toBe(exit)
    const code = exit === 0 ? '' : `\nIt ends with ${exit}.\n`
    sections.push(
      `## ${index + 1}. ${why}\n\n\`\`\`sh\n${command}\n\`\`\`\n\n\`\`\`text\n${stable(ending.printed)}\n\`\`\`\n${code}`,
    )
  }
  const head = `# A newcomer's way to a first verdict

Node and npm, an empty folder, the packed package: ${steps.length} commands. Written by the test that types them
(\`tests/package/newcomer.test.ts\`); times, counts of packages and dates are left out.
`
  await expect(`${head}\n${sections.join('\n')}`).toMatchFileSnapshot('../journeys/newcomer.md')
}, 240_000)
