/** A record pooled over other facilities. */
import { describe, expect, test } from 'vitest'
import type { FacilityRecord, RecordStatus } from '../../packages/sdk/src/contract/index.ts'
import { assessStudy, networkFacilityRecord } from '../../packages/sdk/src/engine/index.ts'
import { simulateStudy } from '../../packages/sdk/src/testing/index.ts'

const record = (relativeSd: number, status: RecordStatus = 'measured'): FacilityRecord => ({
  remounting: { relativeSd, degreesOfFreedom: 7, status },
})

describe('network record', () => {
  test('six facilities that repeat alike: their common value on 3 degrees of freedom', () => {
    const network = networkFacilityRecord(new Array(6).fill(record(0.005)))
    expect(network).toMatchObject({ remounting: { degreesOfFreedom: 3, status: 'network' } })
    // s0² = s² exp(ln(7/2) − ψ(7/2)); ψ(7/2) = 1.1031566406 (from memory), so that s0 = 0.005 · 1.0777.
    expect(network?.remounting?.relativeSd).toBeCloseTo(0.005 * Math.sqrt(3.5 * Math.exp(-1.1031566406)), 8)
    expect(network?.repeatability).toBeUndefined()
  })

  test('five are too few, and values that nobody measured do not count', () => {
    expect(networkFacilityRecord(new Array(5).fill(record(0.005)))).toBeNull()
    expect(networkFacilityRecord([...new Array(5).fill(record(0.005)), record(0.005, 'declared')])).toBeNull()
    expect(networkFacilityRecord([])).toBeNull()
  })

  test('records of studies are pooled as they are', () => {
    const records = [1, 2, 3, 4, 5, 6].flatMap((seed) => {
      const { study } = simulateStudy({ seed, design: 'A|A|A|A|A', runsPerMounting: 2 })
      return assessStudy(study).record ?? []
    })
    const network = networkFacilityRecord(records)
    expect(network?.repeatability).toMatchObject({ status: 'network' })
    expect(network?.remounting?.relativeSd).toBeGreaterThan(0.002)
    expect(network?.remounting?.relativeSd).toBeLessThan(0.012)
  })
})
