/**
 * Cheating at the register, many products each, and the page that says what came of it.
 *
 * `npm run cheating` plays 200 products per strategy; CHEATING_PRODUCTS=10000 as many as that. Two files share the strategies, so
 * that two cores are used. The page is written after every strategy, so that a run that is stopped leaves whole ones.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { assess } from '@fairpull/sdk/engine'
import { expect, test } from 'vitest'
import { strategies } from '../../calibration/cheating/strategies.ts'
import { table } from '../../calibration/markdown.ts'
import { printedShare } from '../../calibration/proportion.ts'
import { childSeed } from '../../calibration/study.ts'
import type { RegisterStrategy } from './attempt.ts'
import { registerStrategies } from './strategies.ts'
import { createBench } from './vendor.ts'

const PRODUCTS = Number(process.env.CHEATING_PRODUCTS ?? 200)

/** After so many products a fresh register, which keeps its memory small. */
const PRODUCTS_PER_REGISTER = 20

const FIGURES = new URL('figures/', import.meta.url)
const PAGE = new URL('../RESULTS.md', import.meta.url)

/** What came of one strategy. */
interface Figures {
  /** Products played. */
  readonly products: number
  /** Supported, pre-registered, at the register. */
  readonly registered: number
  /** Supported without a plan; by Welch; by best against best. */
  readonly unplanned: number
  readonly welch: number
  readonly best: number
}

/** Plays every second strategy. @param part 0 or 1 */
export function playEverySecond(part: number): void {
  const own = registerStrategies.filter((_, index) => index % 2 === part)
  test.each(own.map((strategy) => [strategy.id, strategy] as const))('%s', async (_, strategy) => {
    const registered = await supportedAtRegister(strategy)
    keep(strategy, { products: PRODUCTS, registered, ...(await naiveOf(strategy.beside)) })
    // Three standard errors above the target of 3 %: what lies above that is no chance.
    const limit = 0.03 + 3 * Math.sqrt((0.03 * 0.97) / PRODUCTS)
    if (strategy.stoppedBy !== null) expect(registered / PRODUCTS).toBeLessThanOrEqual(limit)
  })
}

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
async function naiveOf(id: string): Promise<Pick<Figures, 'unplanned' | 'welch' | 'best'>> {
  const strategy = strategies.find((each) => each.id === id)
  if (strategy === undefined) throw new Error(`the calibration has no strategy ${id}`)
  const sum = { unplanned: 0, welch: 0, best: 0 }
  for (let product = 1; product <= PRODUCTS; product += 1) {
    const outcome = await strategy.play(childSeed(product, id), assess)
    for (const name of ['unplanned', 'welch', 'best'] as const) sum[name] += Number(outcome[name])
  }
  return sum
}

function fileOf({ id }: RegisterStrategy): string {
  return `${id.replaceAll(/[^a-z0-9]+/g, '-')}.json`
}

function keep(strategy: RegisterStrategy, figures: Figures): void {
  mkdirSync(FIGURES, { recursive: true })
  writeFileSync(new URL(fileOf(strategy), FIGURES), JSON.stringify(figures))
  writeFileSync(PAGE, page())
}

function rowOf(strategy: RegisterStrategy): readonly (readonly string[])[] {
  const file = fileOf(strategy)
  if (!readdirSync(FIGURES).includes(file)) return []
  const { products, ...hits }: Figures = JSON.parse(readFileSync(new URL(file, FIGURES), 'utf8'))
  const shares = [hits.registered, hits.unplanned, hits.welch, hits.best].map((each) =>
    printedShare({ hits: each, of: products }),
  )
  const stopped = strategy.stoppedBy ?? 'nothing: reported'
  return [[`**${strategy.id}**: ${strategy.does}`, String(products), ...shares, stopped]]
}

function page(): string {
  const heads = ['strategy', 'products', 'supported, pre-registered', 'supported, no plan', 'Welch on the runs']
  return `${[
    '# Cheating at the register',
    '',
    'Written by `npm run cheating`; no product does anything. Share for which "gains at least 0.01 hp" ends as supported, in %,',
    'with its 95 % interval. First figure: a plan is registered at the service, every run handed in over HTTP, and the summary says',
    '"supported, pre-registered"; target: at most 3 for every strategy that a plan can stop. Beside it what the same idea gives',
    'without a plan: by this method, by Welch on the runs, and by best against best.',
    '',
    table([...heads, 'best against best', 'stopped by'], registerStrategies.flatMap(rowOf)),
    '',
    'What no plan stops: a pull that is broken off before the rig counts it, or late and counted; one product under several',
    'names; start times and numbers of the rig that are forged; and plans that are made one after another, each of which is',
    'judged by the plans before it only. Names, plans and counted pulls leave traces that a reader can see: the counters of the',
    'publisher, the number of the plan among its like, and the runs that were broken off.',
  ].join('\n')}\n`
}
