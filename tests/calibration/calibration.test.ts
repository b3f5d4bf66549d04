/**
 * A small run of the calibration, so that a change that spoils it is seen at once; `npm run calibrate` is the large one.
 *
 * An observed share passes when its own 99.9 % interval meets the target: a small run cannot say more.
 */
import { assess } from '@fairpull/sdk/engine'
import { describe, expect, test } from 'vitest'
import { isCompatible, type Proportion, wilson } from './proportion.ts'
import { cheatingStudy } from './studies/cheating-study.ts'
import { coverageStudy } from './studies/coverage-study.ts'
import { detectionStudy } from './studies/detection-study.ts'
import { falseAlarmStudy } from './studies/false-alarm-study.ts'
import { oracleStudy } from './studies/oracle-study.ts'
import { wholeChainStudy } from './studies/whole-chain-study.ts'
import { countOf, type Study, scoreCell, type Tally } from './study.ts'

function cellOf(study: Study, id: string) {
  const cell = study.cells.find((each) => each.id === id)
  if (cell === undefined) throw new RangeError(`study ${study.id} has no cell ${id}`)
  return cell
}

function scored(study: Study, id: string, sessions = study.sessions.test): Promise<Tally> {
  return scoreCell(cellOf(study, id), { from: 1, to: 1 + sessions }, assess)
}

function share(tally: Tally, hits: string, of: string): Proportion {
  return { hits: countOf(tally, hits), of: countOf(tally, of) }
}

/** Fails with the share and its interval in the message. */
function expectShare(observed: Proportion, target: { readonly low: number; readonly high: number }): void {
  const { low, high } = wilson(observed, 3.29)
  const seen = `${observed.hits} of ${observed.of}, 99.9 % interval ${low.toFixed(4)} to ${high.toFixed(4)}`
  expect(observed.of, 'nothing was counted').toBeGreaterThan(0)
  expect(isCompatible(observed, target), `${seen}; target ${target.low} to ${target.high}`).toBe(true)
}

describe('the judge of a small run', () => {
  test('Wilson intervals: 0 of 10 at 95 % reaches 0.2775, 5 of 10 is 0.2366 to 0.7634', () => {
    // Closed form by hand: z = 1.96; z^2/(n + z^2) for no hits, centre 0.5 and reach z/(2 sqrt(n + z^2)) for half of them.
    expect(wilson({ hits: 0, of: 10 }, 1.96).high).toBeCloseTo(1.96 ** 2 / (10 + 1.96 ** 2), 12)
    expect(wilson({ hits: 5, of: 10 }, 1.96).low).toBeCloseTo(0.5 - 1.96 / (2 * Math.sqrt(10 + 1.96 ** 2)), 12)
  })

  test('a coverage of 80 % in 200 sessions is not compatible with 94 to 98 %, one of 95 % is', () => {
    expect(isCompatible({ hits: 160, of: 200 }, { low: 0.94, high: 0.98 })).toBe(false)
    expect(isCompatible({ hits: 190, of: 200 }, { low: 0.94, high: 0.98 })).toBe(true)
  })
})

describe('95 % intervals cover the true gain as often as they say', () => {
  const cells = ['drifting A|B 1', 'drifting A|B 3', 'drifting ABA 3', 'drifting A|B|A|B 2', 'steady AB 3']
  test.each(cells)('%s: 94 to 98 %', async (id) => {
    expectShare(share(await scored(coverageStudy, id), 'band-mean covers', 'band-mean intervals'), {
      low: 0.94,
      high: 0.98,
    })
  })

  test('without a record, three strappings a side: not below 94 %; two curves and nothing else: no interval', async () => {
    const strapped = await scored(coverageStudy, 'unrecorded A|A|A|B|B|B 1')
    expectShare(share(strapped, 'band-mean covers', 'band-mean intervals'), { low: 0.94, high: 1 })
    const single = await scored(coverageStudy, 'unrecorded AB 1', 5)
    expect(countOf(single, 'band-mean intervals')).toBe(0)
  })

  test("Welch's test on re-mounted runs covers less than 95 %, which is why it is not used", async () => {
    const { hits, of } = share(await scored(coverageStudy, 'drifting A|B 3'), 'welch covers', 'welch intervals')
    expect(wilson({ hits, of }, 3.29).high).toBeLessThan(0.95)
  })
})

describe('what is supported is true, what is clean raises no alarm, what is wrong is named', () => {
  test('comparisons as they come: false claims supported at most 0.5 %, intervals cover 94 to 98 %', async () => {
    const tally = await scored(wholeChainStudy, 'mixed')
    expectShare(share(tally, 'sound false supported', 'sound false claims'), { low: 0, high: 0.005 })
    expectShare(share(tally, 'sound covers', 'sound intervals'), { low: 0.94, high: 0.98 })
  })

  test('clean comparisons: an alarm in at most 2 %', async () => {
    const tallies = await Promise.all(['AB', 'A|B', 'A|B|A'].map((id) => scored(falseAlarmStudy, id)))
    const sum = (name: string) => tallies.reduce((total, tally) => total + countOf(tally, name), 0)
    expectShare({ hits: sum('any'), of: sum('sessions') }, { low: 0, high: 0.02 })
  })

  const declared = [
    'gear-declared',
    'wrong-factor',
    'intake-air',
    'order',
    'unaccounted',
    'tyre-pressure-declared',
    'strap-declared',
    'heat-soak',
  ]
  test.each(declared)('fault %s: named every time', async (fault) => {
    const tally = await scored(detectionStudy, fault)
    expect(countOf(tally, 'named')).toBe(countOf(tally, 'sessions'))
  })
})

describe('cheating does not pay under a plan, and honesty does', () => {
  test('an honest vendor of a product that does nothing: supported at most 3 %', async () => {
    expectShare(share(await scored(cheatingStudy, 'honest, 3 a side', 60), 'planned', 'products'), {
      low: 0,
      high: 0.03,
    })
  })

  test('best 3 of 8: works against best-against-best reading, never under a plan', async () => {
    const tally = await scored(cheatingStudy, 'best 3 of 8')
    expect(countOf(tally, 'planned')).toBe(0)
    expect(countOf(tally, 'best')).toBeGreaterThan(countOf(tally, 'products') / 2)
  })

  test('a true claim with 1.5 % slack: supported at least 0.9 times as often as by an oracle', async () => {
    const tallies = await Promise.all(['ABA 3', 'A|B 3', 'AB|AB 3'].map((id) => scored(oracleStudy, id)))
    const sum = (name: string) => tallies.reduce((total, tally) => total + countOf(tally, name), 0)
    // The oracle's own support is the number of sessions that could have been supported at all.
    expectShare({ hits: Math.min(sum('ours'), sum('oracle')), of: sum('oracle') }, { low: 0.9, high: 1 })
  })
})
