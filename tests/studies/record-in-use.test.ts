/** The record of a study in later comparisons: `measured` while it applies, `declared` after that. */
import { describe, expect, test } from 'vitest'
import type { Comparison, FacilityRecord } from '../../packages/sdk/src/contract/index.ts'
import { readComparison } from '../../packages/sdk/src/contract/schemas.ts'
import { assessStudy } from '../../packages/sdk/src/engine/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { simulateStudy } from '../../packages/sdk/src/testing/index.ts'
import { simulateSession } from '../../packages/sdk/src/testing/simulator/session.ts'

const { record } = assessStudy(simulateStudy({ seed: 5, design: 'A|A|A|A|A|A|A|A', runsPerMounting: 3 }).study)

const { comparison } = simulateSession({
  seed: 9,
  design: 'A|B',
  runsPerBlock: 3,
  gain: { shape: 'uniform', percent: 6 },
  claims: [
    {
      id: 'band',
      quantity: 'wheel-power',
      over: { kind: 'band-mean', from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
      relation: 'at-least',
      gain: { value: 1, unit: '%' },
    },
  ],
})

function withRecord(used: FacilityRecord | undefined): Comparison {
  const { record: _, ...facility } = comparison.facility ?? { id: 'simulated-cell' }
  return { ...comparison, facility: { ...facility, ...(used === undefined ? {} : { record: used }) } }
}

async function statusesWith(used: FacilityRecord | undefined): Promise<Readonly<Record<string, string>>> {
  return statusesOf(withRecord(used))
}

async function statusesOf(given: Comparison): Promise<Readonly<Record<string, string>>> {
  const { budget } = await assess(given)
  return Object.fromEntries(budget.map(({ term, status }) => [term, status]))
}

const firstRun = comparison.runs.flatMap(({ startedAt }) => startedAt?.slice(0, 10) ?? []).toSorted()[0] ?? ''

/** The day a year before, and so many days after that. */
function yearBefore(day: string, days = 0): string {
  const moment = new Date(`${Number(day.slice(0, 4)) - 1}${day.slice(4)}T00:00:00Z`)
  return new Date(moment.getTime() + days * 86_400_000).toISOString().slice(0, 10)
}

describe('the record of a study in a comparison', () => {
  if (record === null) throw new Error('eight mountings give a record')

  test('is read as it stands, and gives the interval that one mounting a side has not', async () => {
    expect(readComparison(withRecord(record)).ok).toBe(true)
    const [without] = (await assess(withRecord(undefined))).claims
    const [withIt] = (await assess(withRecord(record))).claims
    expect(without?.judgement).toBe('undecided')
    expect(withIt?.judgement).toBe('supported')
    expect(withIt?.conditional).toBeNull()
  })

  test('counts as measured', async () => {
    expect(await statusesWith(record)).toMatchObject({ repeatability: 'measured', mounting: 'measured' })
  })

  test.each([
    ['12 months after its day', 0, 'measured'],
    ['a day later', -1, 'declared'],
  ])('%s', async (_, days, status) => {
    const aged = { ...record, on: yearBefore(firstRun, days) }
    expect(await statusesWith(aged)).toMatchObject({ mounting: status })
  })

  test.each(['on', 'appliesTo'] as const)('without `%s` it is a declared one', async (member) => {
    const { [member]: _, ...rest } = record
    expect(await statusesWith(rest)).toMatchObject({ mounting: 'declared' })
  })

  const [vehicle] = comparison.vehicles ?? []
  const { mountings = [] } = comparison
  if (vehicle === undefined) throw new Error('a simulated session describes its machine')
  const [first, ...others] = mountings
  if (first === undefined) throw new Error('a simulated session describes its mountings')
  const { label: _, ...unlabelled } = vehicle
  const { class: __, ...unclassed } = vehicle
  const { strapping: ___, ...unstrapped } = first

  const outside: readonly (readonly [string, Partial<Comparison>, RegExp])[] = [
    ['another machine', { vehicles: [{ ...vehicle, label: 'Other' }] }, /the machine “simulated machine”, .* “Other”/],
    ['a machine not named', { vehicles: [unlabelled] }, /machine of these runs is not stated.* `label` of the vehicle/],
    ['another class', { vehicles: [{ ...vehicle, class: 'Other' }] }, /the class “about 75 kW”, .* state “Other”/],
    ['a class not stated', { vehicles: [unclassed] }, /class of these runs is not stated.* `class` of the vehicle/],
    [
      'one mounting strapped another way',
      { mountings: [{ ...first, strapping: 'Other' }, ...others] },
      /the strapping method “two straps at the rear”, and these runs state “Other”\. Use a record of this machine/,
    ],
    [
      'one mounting that does not say how it was strapped',
      { mountings: [unstrapped, ...others] },
      /strapping method of these runs is not stated.* `strapping` of every mounting/,
    ],
    [
      'runs without a mounting',
      { runs: comparison.runs.map(({ mounting: _, ...run }) => ({ ...run, setup: { vehicle: vehicle.id } })) },
      /strapping method of these runs is not stated/,
    ],
  ]

  test.each(outside)('is declared for %s, and says so', async (_, change, words) => {
    const changed = { ...withRecord(record), ...change }
    expect(readComparison(changed).ok).toBe(true)
    const { flags } = await assess(changed)
    expect(flags?.find(({ flag }) => flag === 'record_counts_as_declared')?.sentence).toMatch(words)
    expect(Object.values(await statusesOf(changed))).not.toContain('measured')
  })

  test('changes no figure by what it is called', async () => {
    const figures = ({ gains, claims }: Awaited<ReturnType<typeof assess>>) => ({ gains, claims })
    const changed = { ...withRecord(record), vehicles: [unclassed] }
    expect(figures(await assess(changed))).toEqual(figures(await assess(withRecord(record))))
  })

  test('names the same scope in other letters and spaces', async () => {
    const written = { ...vehicle, label: ' Simulated  MACHINE', class: 'about 75 kw' }
    const changed = { ...withRecord(record), vehicles: [written] }
    expect(await statusesOf(changed)).toMatchObject({ mounting: 'measured' })
    expect((await assess(changed)).flags ?? []).toEqual([])
  })

  test('tells when it is too old, and what is missing of it', async () => {
    const sentenceWith = async (used: FacilityRecord) => (await assess(withRecord(used))).flags?.at(-1)?.sentence
    const old = yearBefore(firstRun, -1)
    expect(await sentenceWith({ ...record, on: old })).toContain(`of ${old}, and the first run, of ${firstRun}`)
    const { on: _, appliesTo: __, ...bare } = record
    expect(await sentenceWith(bare)).toMatch(/no date; the record does not name .* Date the record/)
    expect(await sentenceWith(record)).toBeUndefined()
  })

  test('that was declared anyhow needs no such words', async () => {
    const group = { relativeSd: 0.004, degreesOfFreedom: 8, status: 'declared' } as const
    const { flags } = await assess(withRecord({ repeatability: group, remounting: group }))
    expect(flags?.map(({ flag }) => flag) ?? []).not.toContain('record_counts_as_declared')
  })
})
