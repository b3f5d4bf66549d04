/** Bad input: a clear answer that names the member, the value and the remedy, and nothing is stored by halves. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { type Journey, startJourney } from '../support/journey.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney()
})

afterAll(() => journey.end())

/** A copy of the demo's air filter as plain JSON, changed in place. */
function changed(change: (document: Mutable) => void): string {
  const document = JSON.parse(JSON.stringify(demoComparison('air-filter', 1)))
  change(document)
  return JSON.stringify(document)
}

interface Mutable {
  protocol: string
  reportIn?: unknown
  facility: Record<string, unknown>
  runs: MutableRun[]
  claims: Record<string, unknown>[]
}

interface MutableRun {
  id: string
  mounting: unknown
  channels: Record<string, { unit: string; values?: unknown[]; base64?: string }>
  conditions: Record<string, { value: number; unit: string }>
}

/** Place of the first measured run of the demo. */
const RUN = `/runs/${demoComparison('air-filter', 1).runs.findIndex(({ purpose }) => purpose === 'measured')}`

function firstMeasured({ runs }: Mutable): MutableRun {
  const run = runs[Number(RUN.slice('/runs/'.length))]
  if (run === undefined) throw new Error('the demo has measured runs')
  return run
}

async function post(body: BodyInit) {
  return journey.fetch(`${journey.service.url}/v1/assessments`, {
    method: 'POST',
    headers: { authorization: `Bearer ${journey.apiKey}`, 'content-type': 'application/json' },
    body,
  })
}

interface Refused {
  readonly code: string
  readonly detail: string
  readonly errors: readonly { readonly pointer: string; readonly code: string; readonly detail: string }[]
}

async function refused(body: BodyInit, status = 422): Promise<Refused> {
  const before = await stored()
  const response = await post(body)
  const answer = await response.json()
  expect(response.status, JSON.stringify(answer).slice(0, 500)).toBe(status)
  expect(await stored()).toEqual(before)
  return answer
}

/** Everything that the service has stored. */
async function stored(): Promise<unknown> {
  const response = await journey.fetch(`${journey.service.url}/v1/assessments`, {
    headers: { authorization: `Bearer ${journey.apiKey}` },
  })
  return response.json()
}

describe('what cannot be read is refused', () => {
  test.each<[string, (document: Mutable) => void, string, string, RegExp]>([
    [
      'an unknown unit',
      (document) => {
        firstMeasured(document).channels.wheelPower = { unit: 'bhp', values: [1, 2, 3] }
      },
      `${RUN}/channels/wheelPower/unit`,
      'ERR_UNKNOWN_UNIT',
      /bhp/,
    ],
    [
      'power in torque units',
      (document) => {
        firstMeasured(document).channels.wheelPower = { unit: 'N m', values: [1, 2, 3] }
      },
      `${RUN}/channels/wheelPower/unit`,
      'ERR_UNKNOWN_UNIT',
      /N m/,
    ],
    [
      'a wrong type',
      (document) => {
        firstMeasured(document).mounting = 7
      },
      `${RUN}/mounting`,
      'ERR_WRONG_TYPE',
      /./,
    ],
    [
      'a missing member',
      (document) => {
        Reflect.deleteProperty(firstMeasured(document), 'id')
      },
      `${RUN}/id`,
      'ERR_MISSING_MEMBER',
      /./,
    ],
    [
      'a run of an unknown mounting',
      (document) => {
        firstMeasured(document).mounting = 'm99'
      },
      `${RUN}/mounting`,
      'ERR_UNKNOWN_REFERENCE',
      /m99/,
    ],
    [
      'humidity 55 as a fraction',
      (document) => {
        firstMeasured(document).conditions.relativeHumidity = { value: 55, unit: '1' }
      },
      `${RUN}/conditions/relativeHumidity`,
      'ERR_HUMIDITY',
      /55/,
    ],
    [
      'a gauge pressure where the station pressure belongs',
      (document) => {
        firstMeasured(document).conditions.stationPressure = { value: 0.2, unit: 'kPa' }
      },
      `${RUN}/conditions/stationPressure`,
      'ERR_GAUGE_PRESSURE',
      /0\.2/,
    ],
    [
      'an engine speed that never rises',
      (document) => {
        firstMeasured(document).channels = {
          engineSpeed: { unit: 'rpm', values: [9000, 8000, 7000] },
          wheelPower: { unit: 'kW', values: [40, 30, 20] },
        }
      },
      `${RUN}/channels/engineSpeed`,
      'ERR_NOT_A_SWEEP',
      /./,
    ],
    [
      'a protocol that nobody has',
      (document) => {
        document.protocol = 'cars@1'
      },
      '/protocol',
      'ERR_NOT_IN_LIST',
      /cars@1.*motorcycle-rollers@/,
    ],
  ])('%s', async (_what, change, pointer, code, detail) => {
    const { errors } = await refused(changed(change))
    const named = errors.find((each) => each.pointer.startsWith(pointer))
    expect(named, JSON.stringify(errors)).toBeDefined()
    expect(named?.code).toBe(code)
    expect(named?.detail).toMatch(detail)
  })

  test('channels of different lengths', async () => {
    const { errors } = await refused(
      changed((document) => {
        firstMeasured(document).channels = {
          engineSpeed: { unit: 'rpm', values: [3000, 4000, 5000, 6000] },
          wheelPower: { unit: 'kW', values: [20, 30, 40] },
        }
      }),
    )
    expect(errors.map(({ code }) => code)).toContain('ERR_CHANNELS_UNEQUAL')
  })

  test('NaN in any disguise', async () => {
    const text = changed((document) => {
      firstMeasured(document).channels = { engineSpeed: { unit: 'rpm', values: ['HERE', 4000, 5000] } }
    })
    for (const disguise of ['NaN', '-Infinity', '1e999']) {
      const { code, errors } = await refused(text.replace('"HERE"', disguise), 400)
      expect(code).toBe('ERR_JSON')
      expect(errors[0]?.pointer).toBe(`${RUN}/channels/engineSpeed/values/0`)
    }
    for (const disguise of ['null', '"NaN"']) {
      const { errors } = await refused(text.replace('"HERE"', disguise))
      expect(errors[0]?.pointer).toMatch(/channels\/engineSpeed/)
    }
    const base64 = Buffer.from(new Float64Array([3000, Number.NaN, 5000]).buffer).toString('base64')
    const hidden = changed((document) => {
      firstMeasured(document).channels = { engineSpeed: { unit: 'rpm', base64 } }
    })
    expect((await refused(hidden)).errors[0]?.code).toBe('ERR_CHANNEL_NOT_FINITE')
  })

  test('10,000 runs', async () => {
    const run = { side: 'baseline', purpose: 'measured', origin: 'reported' }
    const runs = Array.from({ length: 10_000 }, (_, index) => ({ id: `r${index}`, ...run }))
    const { errors } = await refused(JSON.stringify({ protocol: 'motorcycle-rollers@1', runs }))
    expect(errors).toEqual([expect.objectContaining({ pointer: '/runs', code: 'ERR_TOO_MANY' })])
  })

  test('a body of 50 MB', async () => {
    const { code, detail } = await refused(Buffer.alloc(50_000_000, 0x20), 413)
    expect(code).toBe('ERR_BODY_TOO_LARGE')
    expect(detail).toContain('2097152')
  })
})

describe('what can be read but is not credible is a finding, signed like any other', () => {
  test('sea-level pressure in place of station pressure at altitude', async () => {
    const response = await post(
      changed((document) => {
        document.facility.altitude = { value: 1600, unit: 'm' }
        for (const run of document.runs) {
          if (run.conditions?.stationPressure !== undefined)
            run.conditions.stationPressure = { value: 1013, unit: 'hPa' }
        }
      }),
    )
    expect(response.status).toBe(201)
    const { result } = (await response.json()).payload
    const finding = result.findings.find(({ check }: { check: string }) => check === 'air-credible')
    expect(finding.status).toBe('breached')
    expect(finding.remedy).not.toBe('')
    expect(result.standing).toBe('invalid')
  })

  test('a claim outside the range that the runs cover', async () => {
    const response = await post(
      changed((document) => {
        document.claims = [
          {
            id: 'beyond',
            quantity: 'wheel-power',
            over: { kind: 'at-speed', speed: { value: 19_000, unit: 'rpm' } },
            relation: 'at-least',
            gain: { value: 1, unit: '%' },
          },
        ]
      }),
    )
    expect(response.status).toBe(201)
    const { result } = (await response.json()).payload
    expect(['undecided', 'not-assessable']).toContain(result.claims[0].judgement)
    expect(result.claims[0].sentence).not.toBe('')
  })
})
