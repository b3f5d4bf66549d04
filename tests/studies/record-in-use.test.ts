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
  const { budget } = await assess(withRecord(used))
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
})
