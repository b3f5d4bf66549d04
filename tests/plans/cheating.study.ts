/**
 * Cheating at the register, many products each, and the page that says what came of it.
 *
 * `npm run cheating` plays 200 products per strategy; CHEATING_PRODUCTS=10000 as many as that. The page is written after every
 * strategy, so that a run that is stopped leaves whole ones.
 */
import { writeFileSync } from 'node:fs'
import { assess } from '@fairpull/sdk/engine'
import { expect, test } from 'vitest'
import { strategies } from '../calibration/cheating/strategies.ts'
import { table } from '../calibration/markdown.ts'
import { printedShare } from '../calibration/proportion.ts'
import { childSeed } from '../calibration/study.ts'
import type { RegisterStrategy } from './cheating/attempt.ts'
import { registerStrategies } from './cheating/strategies.ts'
import { createBench } from './cheating/vendor.ts'

const PRODUCTS = Number(process.env.CHEATING_PRODUCTS ?? 200)

/** After so many products a fresh register, which keeps its memory small. */
const PRODUCTS_PER_REGISTER = 20

/** Strategies whose naive figures stand beside several are played once. */
const naiveFigures = new Map<string, Figures>()

interface Figures {
  readonly unplanned: number
  readonly welch: number
  readonly best: number
}

const rows: (readonly string[])[] = []

test.each(registerStrategies.map((strategy) => [strategy.id, strategy] as const))('%s', async (_, strategy) => {
  const supported = await supportedAtRegister(strategy)
  const naive = await naiveOf(strategy.beside)
  const share = (hits: number) => printedShare({ hits, of: PRODUCTS })
  rows.push([
    `**${strategy.id}**: ${strategy.does}`,
    ...[supported, naive.unplanned, naive.welch, naive.best].map(share),
    strategy.stoppedBy ?? 'nothing: reported',
  ])
  writeFileSync(new URL('RESULTS.md', import.meta.url), page())
  // Three standard errors above the target of 3 %: what lies above that is no chance.
  const limit = 0.03 + 3 * Math.sqrt((0.03 * 0.97) / PRODUCTS)
  if (strategy.stoppedBy !== null) expect(supported / PRODUCTS).toBeLessThanOrEqual(limit)
})

async function supportedAtRegister({ id, play }: RegisterStrategy): Promise<number> {
  let supported = 0
  let bench = await createBench(false)
  for (let product = 1; product <= PRODUCTS; product += 1) {
    if (product % PRODUCTS_PER_REGISTER === 0) bench = await createBench(false)
    if ((await play(bench.vendor(childSeed(product, id)))).isSupported) supported += 1
  }
  return supported
}

/** The same without a register, by the strategy of the calibration. */
async function naiveOf(id: string): Promise<Figures> {
  const known = naiveFigures.get(id)
  if (known !== undefined) return known
  const strategy = strategies.find((each) => each.id === id)
  if (strategy === undefined) throw new Error(`the calibration has no strategy ${id}`)
  const sum = { unplanned: 0, welch: 0, best: 0 }
  for (let product = 1; product <= PRODUCTS; product += 1) {
    const outcome = await strategy.play(childSeed(product, id), assess)
    for (const name of ['unplanned', 'welch', 'best'] as const) sum[name] += Number(outcome[name])
  }
  naiveFigures.set(id, sum)
  return sum
}

function page(): string {
  return `${[
    '# Cheating at the register',
    '',
    `Written by \`npm run cheating\`, ${PRODUCTS} products per strategy, none of which does anything. Share for which "gains at least`,
    '0.01 hp" ends as supported, in %, with its 95 % interval. First column: a plan is registered at the service, every run handed',
    'in over HTTP, the summary says "supported, pre-registered"; target: at most 3 for every strategy that a plan can stop. Beside',
    'it what the same idea gives without a plan, by this method, by Welch on the runs, and by best against best.',
    '',
    table(
      [
        'strategy',
        'supported, pre-registered',
        'supported, no plan',
        'Welch on the runs',
        'best against best',
        'stopped by',
      ],
      rows,
    ),
    '',
    'What no plan stops: a pull that is broken off before the rig counts it, or late and counted; one product under several',
    'names; start times and numbers of the rig that are forged; and plans that are made one after another, each of which is',
    'judged by the plans before it only. The last two and the aborted pulls leave traces that a reader can see: the counters of',
    'the publisher, the number of the plan among its like, and the runs that were broken off.',
  ].join('\n')}\n`
}
