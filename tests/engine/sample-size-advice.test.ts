import { describe, expect, test } from 'vitest'
import type { FacilityRecord, SampleSizeRequest, Swap } from '../../packages/sdk/src/contract/index.ts'
import { adviseSampleSize } from '../../packages/sdk/src/engine/advise-sample-size.ts'

const record: FacilityRecord = {
  repeatability: { relativeSd: 0.004, degreesOfFreedom: 8, status: 'measured' },
  remounting: { relativeSd: 0.004, degreesOfFreedom: 8, status: 'measured' },
  drift: { relativeSd: 0.0005, degreesOfFreedom: 8, status: 'measured' },
}
const quick: Swap = { onRollers: true, reversible: true, minutes: 15 }
const slow: Swap = { onRollers: false, reversible: true, minutes: 240 }

function halfWidth(value: number, more: Partial<SampleSizeRequest> = {}) {
  return adviseSampleSize({
    protocol: 'motorcycle-rollers@1',
    target: { kind: 'half-width', halfWidth: { value, unit: '%' } },
    bandWidth: { value: 5000, unit: 'rpm' },
    ...more,
  })
}

describe('the order of the advice', () => {
  test('a swap of minutes on the rollers: one mounting, the sides taking turns', () => {
    const { designs, verdict } = halfWidth(1, { record, swap: quick })
    expect(designs).toMatchObject([{ layout: 'interleaved', mountings: 1, isEnough: true }])
    expect(verdict).toMatch(/^For a 95 % interval of ±1 %: \d runs of each side, taking turns in one mounting\.$/)
  })

  test.each([
    ['takes hours', { ...quick, minutes: 240 }],
    ['takes the machine off the rollers', { ...quick, onRollers: false }],
    ['cannot be undone', { ...quick, reversible: false }],
  ])('a swap that %s: strapped down again within each side, one run each first, more runs last', (_, swap) => {
    const { designs } = halfWidth(1, { record, swap })
    expect(designs.map(({ layout }) => layout)).toEqual(designs.map(() => 'strapped-again'))
    expect(designs[0]).toMatchObject({ runsPerMounting: 1, isEnough: true })
    const runs = designs.map(({ runsPerMounting }) => runsPerMounting)
    const mountings = designs.map((design) => design.mountings)
    expect(runs).toEqual(runs.toSorted((a, b) => a - b))
    expect(mountings).toEqual(mountings.toSorted((a, b) => b - a))
    expect(designs[0]?.sentence).toMatch(/^Strap the machine down \d+ times within each side without touching the part/)
  })

  test('a swap of which nobody speaks: both, taking turns first', () => {
    const { designs, limits } = halfWidth(1, { record })
    expect(designs.map(({ layout }) => layout).slice(0, 2)).toEqual(['interleaved', 'strapped-again'])
    expect(limits.join(' ')).toContain('Nobody says how long the swap takes')
  })

  test('no design has fewer runs on a side than the protocol asks for', () => {
    const { designs } = halfWidth(20, { record })
    expect(designs.length).toBeGreaterThan(0)
    for (const { mountings, runsPerMounting } of designs) expect(mountings * runsPerMounting).toBeGreaterThanOrEqual(3)
  })
})

describe('what a design shows', () => {
  test('it reaches the target, and the same with one mounting fewer would be listed if it did', () => {
    for (const wanted of [0.7, 1, 1.5]) {
      for (const design of halfWidth(wanted, { record, swap: slow }).designs.filter(({ isEnough }) => isEnough))
        expect(design.halfWidth).toBeLessThanOrEqual(wanted)
    }
    const [wide, narrow] = [1.5, 0.9].map((wanted) => halfWidth(wanted, { record, swap: slow }).designs[0]?.mountings)
    expect(narrow ?? 0).toBeGreaterThan(wide ?? Number.POSITIVE_INFINITY)
  })

  test('a claim: the slack is reached, on the scale of the claim', () => {
    const { designs, verdict } = adviseSampleSize({
      protocol: 'motorcycle-rollers@1',
      target: { kind: 'claim', atLeast: { value: 3, unit: '%' }, slack: { value: 1.2, unit: '%' }, chance: 0.9 },
      record,
      swap: quick,
      bandWidth: { value: 5000, unit: 'rpm' },
    })
    expect(designs[0]?.isEnough).toBe(true)
    expect(designs[0]?.slack ?? Number.NaN).toBeLessThanOrEqual(100 * (1.042 / 1.03 - 1))
    expect(verdict).toContain('support of “at least 3 %” with a chance of 90 % where the gain is 4.2 %')
    expect(designs[0]?.sentence).toContain('with a chance of 90 %')
  })

  test('a greater chance takes more runs', () => {
    const runsFor = (chance: number) =>
      adviseSampleSize({
        protocol: 'motorcycle-rollers@1',
        target: { kind: 'claim', atLeast: { value: 3, unit: '%' }, slack: { value: 1, unit: '%' }, chance },
        record,
        swap: slow,
        bandWidth: { value: 5000, unit: 'rpm' },
      }).designs[0]?.runs ?? Number.NaN
    expect(runsFor(0.95)).toBeGreaterThan(runsFor(0.5))
  })

  test('A|A|A B|B|B with nothing on record: the half-width that measurement-model §14 prints, ±1.7 %', () => {
    const { designs } = halfWidth(1.75, { swap: slow, record: { localNoise: noLocalNoise } })
    expect(designs[0]).toMatchObject({ mountings: 3, runsPerMounting: 1 })
    expect(designs[0]?.halfWidth).toBeCloseTo(1.7, 0)
  })

  test('a target beyond every design: the closest, said to be short of it', () => {
    const { designs, verdict } = halfWidth(0.05, { swap: slow })
    expect(designs).toHaveLength(1)
    expect(designs[0]?.isEnough).toBe(false)
    expect(verdict).toMatch(/^No sensible number of runs reaches a 95 % interval of ±0.05 %; .+ come closest\.$/)
  })
})

const noLocalNoise = { relativeSd: 0, correlationLength: { value: 200, unit: 'rpm' } } as const

describe('what the figures rest on', () => {
  test('without a record everything is assumed, and no degree of freedom is lent', () => {
    const { figures, limits } = halfWidth(1)
    expect(figures.map(({ term, status }) => [term, status])).toEqual([
      ['repeatability', 'assumed'],
      ['local-noise', 'assumed'],
      ['re-mounting', 'assumed'],
      ['drift', 'assumed'],
    ])
    expect(figures.filter(({ term }) => term !== 'drift').map(({ degreesOfFreedom }) => degreesOfFreedom)).toEqual([
      0, 0, 0,
    ])
    expect(figures[0]?.sentence).toBe('0.5 % from run to run in one mounting: assumed, no source.')
    expect(limits.join(' ')).toContain('There is no facility record')
  })

  test('what is borrowed lends its size alone: the interval is wider than with the same figure measured here', () => {
    const borrowed: FacilityRecord = {
      ...record,
      remounting: { relativeSd: 0.004, degreesOfFreedom: 8, status: 'network' },
    }
    const of = (given: FacilityRecord) => halfWidth(0.01, { record: given, swap: slow }).designs[0]?.halfWidth ?? 0
    expect(of(borrowed)).toBeGreaterThan(of(record))
    const row = halfWidth(1, { record: borrowed }).figures.find(({ term }) => term === 're-mounting')
    expect(row).toMatchObject({ relativeSd: 0.004, degreesOfFreedom: 0, status: 'network' })
  })

  test('a peak scatters more than the mean over a band', () => {
    const atOneSpeed = adviseSampleSize({
      protocol: 'motorcycle-rollers@1',
      target: { kind: 'half-width', halfWidth: { value: 0.01, unit: '%' } },
      record,
      swap: slow,
    })
    const width = (report: typeof atOneSpeed) => report.designs[0]?.halfWidth ?? Number.NaN
    expect(width(atOneSpeed)).toBeGreaterThan(width(halfWidth(0.01, { record, swap: slow })))
    expect(atOneSpeed.limits.join(' ')).toContain('peak or one engine speed')
  })

  test('the same question gives the same answer, and an unknown protocol is refused', () => {
    expect(halfWidth(1, { record })).toEqual(halfWidth(1, { record }))
    expect(() => halfWidth(1, { protocol: 'boats@1' })).toThrow(
      expect.objectContaining({ code: 'ERR_UNKNOWN_PROTOCOL' }),
    )
  })
})
