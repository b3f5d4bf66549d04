import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { encodeChannelValues, float64Bytes } from '../../packages/sdk/src/contract/channel-values.ts'
import type { Comparison, Protocol, Run } from '../../packages/sdk/src/contract/index.ts'
import { comparisonDigest, inputDigests, protocolDigest, runDigest } from '../../packages/sdk/src/integrity/digest.ts'
import { writeCanonically } from './support/second-canonical-writer.ts'

const engineSpeed = [3000, 3500.5, 4000]
const wheelPower = [40.25, 51, 63.125]
const lambda = [0.91, 0.9, 0.89]

const run: Run = {
  id: 'b1',
  side: 'baseline',
  purpose: 'measured',
  sequence: 1,
  setup: { gear: 5, tyrePressure: { value: 250, unit: 'kPa', state: 'set-cold' } },
  channels: {
    wheelPower: { unit: 'kW', values: wheelPower },
    engineSpeed: { unit: 'rpm', values: engineSpeed },
    mixture: { unit: '1', as: 'lambda', probe: 'bung', values: lambda },
  },
}

const comparison: Comparison = { protocol: 'motorcycle-rollers@1', runs: [run, { ...run, id: 'm1', side: 'modified' }] }

/** The digest as its description says, put together with node:crypto and the second canonical writer. */
function describedRunDigest(): string {
  const described = {
    ...run,
    channels: {
      wheelPower: { unit: 'kW' },
      engineSpeed: { unit: 'rpm' },
      mixture: { unit: '1', as: 'lambda', probe: 'bung' },
    },
  }
  const hash = createHash('sha256').update('fairpull-run-v1\n').update(writeCanonically(described))
  const columns: readonly (readonly [string, string, readonly number[]])[] = [
    ['engineSpeed', 'rpm', engineSpeed],
    ['mixture', '1', lambda],
    ['wheelPower', 'kW', wheelPower],
  ]
  for (const [name, unit, values] of columns) {
    const count = Buffer.alloc(8)
    count.writeBigUInt64LE(BigInt(values.length))
    hash.update(`${name}\0${unit}\0`).update(count).update(float64Bytes(values))
  }
  return `sha256:${hash.digest('hex')}`
}

describe('the digest of a run', () => {
  test('is SHA-256 of the bytes that its description names', async () => {
    expect(await runDigest(run)).toBe(describedRunDigest())
  })

  test('regression: the bytes that are hashed have not changed', async () => {
    expect(await runDigest(run)).toBe('sha256:0ec17d6a90c6a6ea1f2b4bffe373e6271df69d5b78df210b2353b95b491f65c8')
  })

  test('of a run without channels is that of its canonical form', async () => {
    const { channels: _none, ...reported } = run
    const hash = createHash('sha256').update(`fairpull-run-v1\n${writeCanonically(reported)}`)
    expect(await runDigest(reported)).toBe(`sha256:${hash.digest('hex')}`)
  })

  test('is the same for arrays and base64, and for any order of members', async () => {
    const base64: Run = {
      channels: {
        mixture: { probe: 'bung', base64: encodeChannelValues(lambda), as: 'lambda', unit: '1' },
        engineSpeed: { base64: encodeChannelValues(engineSpeed), unit: 'rpm' },
        wheelPower: { unit: 'kW', values: wheelPower },
      },
      setup: { tyrePressure: { state: 'set-cold', unit: 'kPa', value: 250 }, gear: 5 },
      sequence: 1,
      purpose: 'measured',
      side: 'baseline',
      id: 'b1',
    }
    expect(await runDigest(base64)).toBe(await runDigest(run))
  })

  const { channels } = run
  const changes: Readonly<Record<string, Run>> = {
    'another id': { ...run, id: 'b2' },
    'another side': { ...run, side: 'modified' },
    'another setup': { ...run, setup: { gear: 6 } },
    'a value one bit away': {
      ...run,
      channels: { ...channels, wheelPower: { unit: 'kW', values: [40.25, 51, 63.125000000000007] } },
    },
    'two values exchanged': {
      ...run,
      channels: { ...channels, wheelPower: { unit: 'kW', values: [51, 40.25, 63.125] } },
    },
    'a value less': { ...run, channels: { ...channels, wheelPower: { unit: 'kW', values: [40.25, 51] } } },
    'another unit': { ...run, channels: { ...channels, wheelPower: { unit: 'hp', values: wheelPower } } },
    'another probe': {
      ...run,
      channels: { ...channels, mixture: { unit: '1', as: 'lambda', probe: 'tailpipe', values: lambda } },
    },
    'another mixture scale': {
      ...run,
      channels: { ...channels, mixture: { unit: '1', as: 'afr', probe: 'bung', values: lambda } },
    },
    'a channel renamed': {
      ...run,
      channels: { engineSpeed: { unit: 'rpm', values: engineSpeed }, torque: { unit: 'N m', values: wheelPower } },
    },
    'a channel less': { ...run, channels: { engineSpeed: { unit: 'rpm', values: engineSpeed } } },
    'empty channels': { ...run, channels: {} },
  }
  test('is another for every change of the run', async () => {
    const digests = await Promise.all([run, ...Object.values(changes)].map(runDigest))
    expect(new Set(digests).size).toBe(digests.length)
  })

  const undigestible: Readonly<Record<string, readonly [run: unknown, pointer: string]>> = {
    'NaN in a channel': [
      { ...run, channels: { torque: { unit: 'N m', values: [1, Number.NaN] } } },
      '/channels/torque/values/1',
    ],
    'a channel with both forms': [
      { ...run, channels: { torque: { unit: 'N m', values: [1], base64: '' } } },
      '/channels/torque',
    ],
    'a channel without unit': [{ ...run, channels: { torque: { values: [1] } } }, '/channels/torque/unit'],
    'a channel that is none': [{ ...run, channels: { torque: 3 } }, '/channels/torque'],
    'channels that are none': [{ ...run, channels: [] }, '/channels'],
    'no run': [null, ''],
  }
  for (const [says, [bad, pointer]] of Object.entries(undigestible)) {
    test(`does not exist for ${says}`, async () => {
      await expect(runDigest(bad as Run)).rejects.toMatchObject({ code: 'ERR_RUN_NOT_DIGESTIBLE', pointer })
    })
  }
})

describe('the digest of a comparison', () => {
  test('is that of its canonical form with each run replaced by its digest', async () => {
    const runs = await Promise.all(comparison.runs.map(runDigest))
    const described = `fairpull-comparison-v1\n${writeCanonically({ ...comparison, runs })}`
    const digest = `sha256:${createHash('sha256').update(described).digest('hex')}`
    expect(await comparisonDigest(comparison)).toBe(digest)
    expect(await inputDigests(comparison)).toEqual({
      comparison: digest,
      runs: [
        { run: 'b1', digest: runs[0] },
        { run: 'm1', digest: runs[1] },
      ],
    })
  })

  test('is another when a run, their order or any other member changes', async () => {
    const digests = await Promise.all(
      [
        comparison,
        { ...comparison, runs: comparison.runs.toReversed() },
        { ...comparison, runs: comparison.runs.slice(0, 1) },
        { ...comparison, reportIn: 'none' as const },
        { ...comparison, protocol: 'motorcycle-rollers@2' },
      ].map(comparisonDigest),
    )
    expect(new Set(digests).size).toBe(digests.length)
  })

  test('does not exist without a list of runs', async () => {
    for (const bad of [null, {}, { runs: 'b1' }]) {
      await expect(comparisonDigest(bad as unknown as Comparison)).rejects.toMatchObject({
        code: 'ERR_COMPARISON_NOT_DIGESTIBLE',
      })
    }
  })
})

test('the digest of a protocol is that of its tag and canonical form', async () => {
  const protocol = { id: 'p@1', checks: [{ check: 'x', limits: {} }] } as unknown as Protocol
  const described = `fairpull-protocol-v1\n${writeCanonically(protocol)}`
  expect(await protocolDigest(protocol)).toBe(`sha256:${createHash('sha256').update(described).digest('hex')}`)
})
