/** F6: what the SDK weighs, and how long the command and the demo take. */
import { execFile } from 'node:child_process'
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
  const times: number[] = []
  for (let round = 0; round < DEMOS; round += 1) times.push(await timeOf('npm', ['run', 'demo']))
  const seconds = median(times) / 1000
  return {
    what: '`npm run demo`, from a warm install to its end, the verdicts among it',
    figure: `${seconds.toFixed(1)} s`,
    target: against('F6 < 5 s', seconds < 5),
  }
}
