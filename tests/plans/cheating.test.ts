/** Cheating at the register, a few products each: what a rule stops outright is never supported. */
import { describe, expect, test } from 'vitest'
import { strategies } from '../calibration/cheating/strategies.ts'
import { childSeed } from '../calibration/study.ts'
import { registerStrategies } from './cheating/strategies.ts'
import { createBench } from './cheating/vendor.ts'

/** Rules that stop a strategy whatever chance does: not one product of ten thousand may get through. */
const OUTRIGHT: Readonly<Record<string, readonly string[]>> = {
  'best 3 of 8': ['every-run-counted'],
  'trimming 2 of 5': ['every-run-counted'],
  'old baseline': ['every-run-counted', 'one-session'],
  'cold before, warm after': ['warm-or-matched'],
  'understated record': ['record-issued'],
  'all at once': ['every-run-counted', 'warm-or-matched', 'record-issued'],
}

const PRODUCTS = 2

/** Where chance decides, at most 3 % are supported: both of two have a chance of 0.1 %, and the seeds are fixed. */
const MOST_SUPPORTED = 1

test('every strategy has its counterpart without a register', () => {
  const known = strategies.map(({ id }) => id)
  for (const { beside } of registerStrategies) expect(known).toContain(beside)
  expect(registerStrategies.map(({ id }) => id)).toEqual(expect.arrayContaining(Object.keys(OUTRIGHT)))
})

/** Strategies that keep to the letter of their plan: what is not supported there, chance and the level decide. */
const KEPT = registerStrategies
  .map(({ id }) => id)
  .filter((id) => !(id in OUTRIGHT) && id !== 'copies' && id !== 'stop when it looks good')

describe.each(registerStrategies)('$id', ({ id, stoppedBy, play }) => {
  const products = stoppedBy === null ? 1 : PRODUCTS

  test(`${products} products that do nothing`, async () => {
    const { vendor } = await createBench(true)
    let supported = 0
    for (let product = 1; product <= products; product += 1) {
      const ending = await play(vendor(childSeed(product, id)))
      if (ending.isSupported) supported += 1
      expect(ending.broken).toEqual(KEPT.includes(id) ? [] : expect.arrayContaining([...(OUTRIGHT[id] ?? [])]))
    }
    expect(supported).toBeLessThanOrEqual(id in OUTRIGHT ? 0 : MOST_SUPPORTED)
  })
})
