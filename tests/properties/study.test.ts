/** Whatever is handed in as a study is answered: never an exception, always in the form of the contract. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Study } from '../../packages/sdk/src/contract/index.ts'
import { facilityRecordSchema, readStudy, studyResultSchema } from '../../packages/sdk/src/contract/schemas.ts'
import { assessStudy } from '../../packages/sdk/src/engine/index.ts'
import { simulateStudy } from '../../packages/sdk/src/testing/index.ts'

const { study } = simulateStudy({
  ...{ seed: 6, design: 'A|A|A/A|A/A/A|A', runsPerMounting: 3, channels: 'power-only' },
})
const measured = study.runs.filter(({ purpose }) => purpose === 'measured')

/** The study with some of its runs, each in any of its mountings, with any past, over any band. */
const studies = fc
  .record({
    runs: fc.subarray(measured),
    places: fc.array(fc.nat(study.mountings.length - 1), { minLength: measured.length, maxLength: measured.length }),
    isShuffled: fc.boolean(),
    past: fc.array(
      fc.record({
        relativeSd: fc.double({ min: 1e-200, max: 1e6, noNaN: true }),
        degreesOfFreedom: fc.double({ min: 1e-6, max: 1e9, noNaN: true }),
      }),
      { maxLength: 4 },
    ),
    band: fc.record({ from: fc.integer({ min: 0, max: 12_000 }), width: fc.integer({ min: 1, max: 9000 }) }),
  })
  .map(
    ({ runs, places, isShuffled, past, band }): Study => ({
      ...study,
      past,
      band: { from: { value: band.from, unit: 'rpm' }, to: { value: band.from + band.width, unit: 'rpm' } },
      runs: runs.map((run, index) => ({
        ...run,
        mounting: isShuffled ? (study.mountings[places[index] ?? 0]?.id ?? run.mounting) : run.mounting,
      })),
    }),
  )

describe('studies of every kind', () => {
  test('are answered in the form of the contract, with a record that a comparison takes', () => {
    fc.assert(
      fc.property(studies, (given) => {
        expect(readStudy(given).ok).toBe(true)
        const result = assessStudy(given)
        expect(studyResultSchema.safeParse(result).success).toBe(true)
        if (result.record === null) expect(result.missing.length).toBeGreaterThan(0)
        else expect(facilityRecordSchema.safeParse(result.record).success).toBe(true)
        expect(result.runs.length + result.excluded.length).toBe(given.runs.length)
      }),
      { numRuns: 120, seed: 20_260_502 },
    )
  })
})
