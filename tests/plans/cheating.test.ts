/** Cheating at the register, a few products each: what a rule stops outright is never supported. */
import { describe, expect, test } from 'vitest'
import { strategies } from '../calibration/cheating/strategies.ts'
import { childSeed } from '../calibration/study.ts'
import { registerStrategies } from './cheating/strategies.ts'
import { createBench } from './cheating/vendor.ts'

/** Stopped by a rule that does not depend on chance: not one product of ten thousand may get through. */
const OUTRIGHT = [
  'best 3 of 8',
  'trimming 2 of 5',
  'old baseline',
  'cold before, warm after',
  'understated record',
  'all at once',
]

const PRODUCTS = 3

/**
 * Most products of three that may be supported where the share is at most 3 %: two or more have a chance of 0.3 %, and the
 * seeds are fixed.
 */
const MOST_SUPPORTED = 1

test('every strategy has its counterpart without a register', () => {
  const known = strategies.map(({ id }) => id)
  for (const { beside } of registerStrategies) expect(known).toContain(beside)
})

describe.each(registerStrategies.filter(({ stoppedBy }) => stoppedBy !== null))('$id', ({ id, play }) => {
  test(`${PRODUCTS} products that do nothing`, async () => {
    const { vendor } = await createBench()
    let supported = 0
    for (let product = 1; product <= PRODUCTS; product += 1) {
      if (await play(vendor(childSeed(product, id)))) supported += 1
    }
    expect(supported).toBeLessThanOrEqual(OUTRIGHT.includes(id) ? 0 : MOST_SUPPORTED)
  })
})
