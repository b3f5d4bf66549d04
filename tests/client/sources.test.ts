import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, onTestFinished, test } from 'vitest'
import { fileSource } from '../../packages/sdk/src/cli/index.ts'
import { compactChannels } from '../../packages/sdk/src/client/index.ts'
import { readChannelValues } from '../../packages/sdk/src/contract/channel-values.ts'
import type { Comparison } from '../../packages/sdk/src/contract/index.ts'
import { comparisonDigest } from '../../packages/sdk/src/integrity/index.ts'
import { failureOf } from './clients.ts'
import { connected } from './connected.ts'

const comparison: Comparison = {
  protocol: 'motorcycle-rollers@1',
  runs: [{ id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 70, unit: 'kW' } } }],
}
const text = `\n${JSON.stringify(comparison, null, 2)}\n`
const bytes = new TextEncoder().encode(text)

describe('a comparison to be read', () => {
  test.each([
    ['bytes', () => bytes],
    ['a Blob', () => new Blob([text])],
    ['a stream', () => streamOf(bytes.slice(0, 40), bytes.slice(40))],
  ])('from %s goes out as it stands, and its summary is held against it', async (_, source) => {
    const { fairpull, sent } = await connected()
    const { report } = await fairpull.assessments.create(source())
    expect(report).toMatchObject({ verdict: 'verified', recomputed: { answer: 'inputs-match' } })
    expect(await sent[0]?.text()).toBe(text)
  })

  test('from a file, with nothing left open', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'fairpull-'))
    onTestFinished(() => rm(folder, { recursive: true }))
    await writeFile(join(folder, 'comparison.json'), text)
    const { fairpull } = await connected()
    const { report } = await fairpull.assessments.create(await fileSource(join(folder, 'comparison.json')))
    expect(report.verdict).toBe('verified')
    expect(await failureOf(fileSource(join(folder, 'none.json')))).toMatchObject({ code: 'ENOENT' })
  })

  test('is sent again though it came as a stream, since it was read before anything was sent', async () => {
    const { fairpull, sent } = await connected({ lostAnswers: 1, retries: 1 })
    await fairpull.assessments.create(streamOf(bytes))
    expect(await Promise.all(sent.map((request) => request.text()))).toEqual([text, text])
  })

  test('that is no JSON is told apart before anything is sent', async () => {
    const { fairpull, sent } = await connected()
    const error = await failureOf(fairpull.assessments.create(new Blob(['runs: []'])))
    expect(error).toMatchObject({ name: 'BodyError', code: 'ERR_NOT_JSON_VALUE' })
    expect(sent).toEqual([])
  })

  test('whose stream never ends is let go of when the call is aborted', async () => {
    const { fairpull, sent } = await connected()
    const state = { cancelled: false }
    const endless = new ReadableStream<Uint8Array>({
      cancel: () => {
        state.cancelled = true
      },
    })
    const controller = new AbortController()
    const call = fairpull.assessments.create(endless, { signal: controller.signal })
    controller.abort(new Error('enough'))
    expect(await failureOf(call)).toMatchObject({ name: 'AbortError', code: 'ERR_ABORTED' })
    expect(state.cancelled).toBe(true)
    expect(sent).toEqual([])
  })
})

describe('channels as base64', () => {
  const values = Array.from({ length: 2000 }, (_, index) => Math.sin(index) * 100 + 0.123456789)
  const recorded: Comparison = {
    ...comparison,
    runs: [
      {
        id: 'b1',
        side: 'baseline',
        purpose: 'measured',
        channels: { wheelPower: { unit: 'kW', values }, engineSpeed: { unit: 'rpm', values: [Number.NaN] } },
      },
    ],
  }

  test('hold the same numbers in less room', () => {
    const { wheelPower } = compactChannels(recorded).runs[0]?.channels ?? {}
    const read = wheelPower === undefined ? undefined : readChannelValues(wheelPower)
    expect(read).toMatchObject({ ok: true, values: Float64Array.from(values) })
    // 8 bytes as 4/3 digits each, against 17 significant digits, sign, point and comma.
    expect(JSON.stringify(wheelPower).length / JSON.stringify(values).length).toBeLessThan(0.65)
  })

  test('make no other comparison of it: the digest stays', async () => {
    const sound = {
      ...recorded,
      runs: recorded.runs.map((run) => ({ ...run, channels: { wheelPower: { unit: 'kW' as const, values } } })),
    }
    expect(await comparisonDigest(compactChannels(sound))).toBe(await comparisonDigest(sound))
  })

  test('leave a channel alone that holds no numbers, for the service to say where', () => {
    expect(compactChannels(recorded).runs[0]?.channels?.engineSpeed).toEqual(recorded.runs[0]?.channels?.engineSpeed)
  })
})

function streamOf(...pieces: readonly Uint8Array[]): ReadableStream<Uint8Array> {
  return new ReadableStream({
    start: (controller) => {
      for (const piece of pieces) controller.enqueue(piece)
      controller.close()
    },
  })
}
