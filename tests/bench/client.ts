/** F6: what the SDK weighs, and how long the command and the demo take. */
import { execFile, spawn } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { browserBundle } from '../package/browser-bundle.ts'
import { root } from '../support/source-files.ts'
import { median } from './figures.ts'
import { against, type Row, type Section } from './results-page.ts'

const exec = promisify(execFile)
const command = join(root, 'packages/sdk/dist/cli/main.js')
const [STARTS, DEMOS] = [15, 5]

/** Measures the SDK. */
export async function clientBench(): Promise<Section> {
  const verify = "export { readTrust, verifySummary } from '@fairpull/sdk/verify'"
  return {
    title: 'SDK',
    rows: [
      await weight('verification of a summary', "export { verifySummary } from '@fairpull/sdk/verify'", 10_000),
      await weight('verification under a trust bundle', verify, 10_000),
      await weight('client', "export { Fairpull } from '@fairpull/sdk'", 20_000),
      await start(),
      await demo(),
    ],
    notes: [
      'Weight: minified for browsers, gzip level 9, what a page loads before it asks for anything; in brackets with all that is loaded on demand (proofs of the log, recomputation, many comparisons).',
      `Start: medians of ${STARTS} rounds in which both take turns. Demo: median of ${DEMOS} runs, everything installed and built before.`,
    ],
  }
}

async function weight(what: string, text: string, most: number): Promise<Row> {
  const { atOnce, altogether } = await browserBundle(text)
  return {
    what,
    figure: `${(atOnce / 1000).toFixed(1)} kB (${(altogether / 1000).toFixed(1)} kB)`,
    target: against(`F6 < ${most / 1000} kB`, atOnce < most),
  }
}

/** Time that a programme takes to its end. [ms] */
async function timeOf(file: string, args: readonly string[]): Promise<number> {
  const start = performance.now()
  await exec(file, [...args], { cwd: root, maxBuffer: 1e8 })
  return performance.now() - start
}

async function start(): Promise<Row> {
  const [ours, nothing]: [number[], number[]] = [[], []]
  for (let round = 0; round < STARTS; round += 1) {
    ours.push(await timeOf(process.execPath, [command, '--version']))
    nothing.push(await timeOf(process.execPath, ['--eval', '']))
  }
  const [middle, bare] = [median(ours), median(nothing)]
  return {
    what: 'start of the command (`fairpull --version`)',
    figure: `${middle.toFixed(0)} ms = ${(middle / bare).toFixed(2)} × Node that does nothing (${bare.toFixed(0)} ms)`,
    target: against('F6 < 150 ms', middle < 150),
  }
}

async function demo(): Promise<Row> {
  const runs: DemoTimes[] = []
  for (let round = 0; round < DEMOS; round += 1) runs.push(await demoTimes())
  const verdict = median(runs.map(({ verdict_ms }) => verdict_ms)) / 1000
  const end = median(runs.map(({ end_ms }) => end_ms)) / 1000
  return {
    what: '`npm run demo`, from a warm install to its first verdict (to the end of all four comparisons)',
    figure: `${verdict.toFixed(1)} s (${end.toFixed(1)} s)`,
    target: against('F6 < 5 s', verdict < 5),
  }
}

/** Time from the command on. [ms] */
interface DemoTimes {
  readonly verdict_ms: number
  readonly end_ms: number
}

/** The headline of a comparison, with which its verdict begins. */
const VERDICT = /^(VALID|LIMITED|INVALID): /m

function demoTimes(): Promise<DemoTimes> {
  const start = performance.now()
  const child = spawn('npm', ['run', 'demo'], { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] })
  let printed = ''
  let verdict_ms: number | null = null
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    printed += text
    if (verdict_ms === null && VERDICT.test(printed)) verdict_ms = performance.now() - start
  })
  return new Promise((resolve, reject) => {
    child.on('error', reject).on('close', (code) => {
      if (code !== 0 || verdict_ms === null) reject(new Error(`the demo ended with ${code}, printing:\n${printed}`))
      else resolve({ verdict_ms, end_ms: performance.now() - start })
    })
  })
}
