/** One run by itself: the findings that need no second side, through the engine, over HTTP, and on the command line. */
import { describe, expect, test } from 'vitest'
import type { Run, RunCheckRequest } from '../../packages/sdk/src/contract/index.ts'
import { readRunCheck } from '../../packages/sdk/src/contract/read-run-check.ts'
import { checkEachRun, checkRun, protocolOf } from '../../packages/sdk/src/engine/index.ts'
import { fairpull } from '../cli/command.ts'
import { createTestApp } from '../support/test-app.ts'
import { measured, omit, valid } from './fixture.ts'

const [vehicle] = valid.vehicles ?? []
const [driveTyre] = valid.driveTyres ?? []
const [mounting] = valid.mountings ?? []
const [run] = measured('baseline')
if (run === undefined || vehicle === undefined || driveTyre === undefined || mounting === undefined) {
  throw new Error('the demo has a run, a vehicle, a tyre and a mounting')
}

const whole: RunCheckRequest = {
  protocol: valid.protocol,
  run,
  vehicle,
  driveTyre,
  mounting,
  ...(valid.facility === undefined ? {} : { facility: valid.facility }),
  claims: valid.claims ?? [],
}

const statusOf = (request: RunCheckRequest, check: string) =>
  checkRun(request).findings.find((finding) => finding.check === check)?.status

/** The run with a fault in one of its channels. */
const withChannels = (change: (channels: NonNullable<Run['channels']>) => Run['channels']): RunCheckRequest => {
  const channels = change(run.channels ?? {})
  return { ...whole, run: channels === undefined ? run : { ...run, channels } }
}

describe('one run by itself', () => {
  test('a sound run of the demo is usable, and every check that needs no second side is met', () => {
    const report = checkRun(whole)
    const names = protocolOf(valid.protocol).rows.flatMap(({ check }) =>
      check.isRunCheck === true ? [check.name] : [],
    )
    expect(report.findings.map(({ check }) => check)).toEqual(names)
    expect(report.findings.filter(({ status }) => status !== 'met')).toEqual([])
    expect([report.isUsable, report.verdict]).toEqual([true, `Run ${run.id} is sound in all that one run shows.`])
    expect(report.trace?.used).toBe(run.channels?.time?.values?.length)
  })

  test('power in hp taken for kW is named in the remedy', () => {
    const request = withChannels(({ wheelPower, ...rest }) => ({
      ...rest,
      wheelPower: { unit: 'kW', values: (wheelPower?.values ?? []).map((kW) => kW / 0.745_699_871_582_27) },
    }))
    const finding = checkRun(request).findings.find(({ check }) => check === 'power-torque-agree')
    expect([finding?.status, finding?.remedy]).toEqual([
      'breached',
      'This is what power in hp taken for kW makes: put the unit of that column right.',
    ])
  })

  test('roller speed in km/h taken for mph is named by the gearing', () => {
    const request = withChannels(({ rollerSpeed, ...rest }) => ({
      ...rest,
      rollerSpeed: { unit: 'mph', values: rollerSpeed?.values ?? [] },
    }))
    const finding = checkRun(request).findings.find(({ check }) => check === 'gear-matched')
    expect(finding?.status).toBe('breached')
    expect(finding?.remedy).toContain('roller speed in km/h taken for mph')
  })

  test('a lean run is no run to go on with, and says so first', () => {
    const request = withChannels(({ mixture, ...rest }) => ({
      ...rest,
      mixture: {
        unit: '1',
        as: 'lambda',
        probe: 'bung',
        values: (mixture?.values ?? []).map((lambda) => lambda + 0.15),
      },
    }))
    const report = checkRun(request)
    expect([report.isUsable, statusOf(request, 'fuelling-sound')]).toEqual([false, 'breached'])
    expect(report.cautions[0]?.about === 'lean-mixture' || report.cautions[1]?.about === 'lean-mixture').toBe(true)
  })

  test('a run that does not reach over the claimed band is not usable', () => {
    const claims = (valid.claims ?? []).map((claim) => ({
      ...claim,
      over: { kind: 'band-mean', from: { value: 4000, unit: 'rpm' }, to: { value: 12_000, unit: 'rpm' } } as const,
    }))
    expect(statusOf({ ...whole, claims }, 'trace-sound')).toBe('breached')
  })

  test('references to what is not given count as not recorded, and nothing is thrown', () => {
    const report = checkRun({ protocol: valid.protocol, run })
    expect(report.isUsable).toBe(true)
    expect(readRunCheck({ protocol: valid.protocol, run }).ok).toBe(true)
  })

  test('every measured run of a comparison is looked at, and no other', () => {
    const ids = valid.runs.filter(({ purpose }) => purpose === 'measured').map(({ id }) => id)
    expect(checkEachRun(valid).map((report) => report.run)).toEqual(ids)
  })
})

describe('a request that cannot be read', () => {
  test.each([
    ['no object', 7, ''],
    ['a member nobody knows', { ...whole, runs: [] }, '/runs'],
    ['no run', omit(whole, 'run'), '/run'],
    [
      'an unknown unit',
      { ...whole, run: { ...run, channels: { engineSpeed: { unit: 'rps', values: [1] } } } },
      '/run/channels/engineSpeed/unit',
    ],
    [
      'humidity 55 as a fraction',
      { ...whole, run: { ...run, conditions: { relativeHumidity: { value: 55, unit: '1' } } } },
      '/run/conditions/relativeHumidity',
    ],
  ])('%s is named where it stands', (_, value, pointer) => {
    const reading = readRunCheck(value)
    expect(reading.ok ? '' : reading.problems.map((problem) => problem.pointer).join(' ')).toContain(pointer)
    expect(reading.ok).toBe(false)
  })
})

describe('POST /v1/run-checks', () => {
  test('answers what the engine says', async () => {
    const app = await createTestApp()
    const response = await app.request('/v1/run-checks', {
      method: 'POST',
      headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
      body: JSON.stringify(whole),
    })
    expect(response.status).toBe(200)
    expect(await response.json()).toEqual(checkRun(whole))
  })
})

describe('fairpull check RUN', () => {
  test('says what the run shows, and ends with 2 where it does not hold', async () => {
    const files = { 'run.json': JSON.stringify(whole), 'cold.json': JSON.stringify(coldRun()) }
    const sound = await fairpull(['check', 'run.json'], { files })
    expect([sound.exit, sound.stderr]).toEqual([0, ''])
    expect(sound.stdout).toContain('is sound in all that one run shows.')
    const cold = await fairpull(['check', 'cold.json'], { files })
    expect(cold.exit).toBe(2)
    expect(cold.stdout).toContain('does not hold: warmed-up.')
  })
})

function coldRun(): RunCheckRequest {
  const conditions = { ...run?.conditions, coolantTemperature: { value: 40, unit: 'degC' } as const }
  return run === undefined ? whole : { ...whole, run: { ...run, conditions } }
}
