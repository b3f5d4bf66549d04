/** Bad input, item by item: what is done to a good comparison, and what the answer has to name. */
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'

/** A comparison as plain JSON that may be changed in place. */
export interface Mutable {
  protocol: string
  reportIn?: unknown
  facility: Record<string, unknown>
  mountings: { id: unknown; setup: Record<string, unknown> }[]
  runs: MutableRun[]
  claims: Record<string, unknown>[]
}

/** A run of it. */
export interface MutableRun {
  id: string
  mounting: unknown
  side: unknown
  setup: Record<string, unknown>
  channels: Record<string, { unit: unknown; values?: unknown[]; base64?: string }>
  conditions: Record<string, { value: unknown; unit: unknown }>
}

/** Place of the first measured run of the demo. */
export const RUN = `/runs/${demoComparison('air-filter', 1).runs.findIndex(({ purpose }) => purpose === 'measured')}`

/** The first measured run. */
export function firstMeasured({ runs }: Mutable): MutableRun {
  const run = runs[Number(RUN.slice('/runs/'.length))]
  if (run === undefined) throw new Error('the demo has measured runs')
  return run
}

/** A copy of the demo's air filter as JSON text, changed in place. */
export function changed(change: (document: Mutable) => void): string {
  const document = JSON.parse(JSON.stringify(demoComparison('air-filter', 1)))
  change(document)
  return JSON.stringify(document)
}

/** One thing that cannot be read. */
export interface BadInput {
  readonly what: string
  readonly change: (document: Mutable) => void
  /** Where the answer points. */
  readonly pointer: string
  readonly code: string
  /** The value as the answer names it. */
  readonly value: RegExp
  /** What the answer tells to do. */
  readonly remedy: RegExp
}

/** What cannot be read. */
export const unreadable: readonly BadInput[] = [
  {
    what: 'an unknown unit',
    change: (document) => {
      firstMeasured(document).channels.wheelPower = { unit: 'bhp', values: [1, 2, 3] }
    },
    pointer: `${RUN}/channels/wheelPower/unit`,
    code: 'ERR_UNKNOWN_UNIT',
    value: /"bhp"/,
    remedy: /Did you mean "hp"\? Allowed: W, kW, hp, PS/,
  },
  {
    what: 'power in torque units',
    change: (document) => {
      firstMeasured(document).channels.wheelPower = { unit: 'N m', values: [1, 2, 3] }
    },
    pointer: `${RUN}/channels/wheelPower/unit`,
    code: 'ERR_UNKNOWN_UNIT',
    value: /"N m" is a unit of torque, not of power/,
    remedy: /Allowed: W, kW, hp, PS/,
  },
  {
    what: 'no unit',
    change: (document) => {
      Reflect.deleteProperty(firstMeasured(document).conditions.stationPressure ?? {}, 'unit')
    },
    pointer: `${RUN}/conditions/stationPressure/unit`,
    code: 'ERR_MISSING_MEMBER',
    value: /The unit is missing; there is no default unit/,
    remedy: /Add one of: Pa, hPa, kPa/,
  },
  {
    what: 'a wrong type',
    change: (document) => {
      firstMeasured(document).mounting = 7
    },
    pointer: `${RUN}/mounting`,
    code: 'ERR_WRONG_TYPE',
    value: /Found 7/,
    remedy: /text is needed/,
  },
  {
    what: 'a number in quotation marks',
    change: (document) => {
      firstMeasured(document).conditions.stationPressure = { value: '99.2', unit: 'kPa' }
    },
    pointer: `${RUN}/conditions/stationPressure/value`,
    code: 'ERR_WRONG_TYPE',
    value: /"99\.2"/,
    remedy: /without quotation marks/,
  },
  {
    what: 'a missing member',
    change: (document) => {
      Reflect.deleteProperty(firstMeasured(document), 'id')
    },
    pointer: `${RUN}/id`,
    code: 'ERR_MISSING_MEMBER',
    value: /The member is missing/,
    remedy: /Add it/,
  },
  {
    what: 'a mistyped member',
    change: (document) => {
      firstMeasured(document).setup.tirePressure = { value: 250, unit: 'kPa', state: 'set-cold' }
    },
    pointer: `${RUN}/setup/tirePressure`,
    code: 'ERR_UNKNOWN_MEMBER',
    value: /"tirePressure"/,
    remedy: /Did you mean "tyrePressure"\?/,
  },
  {
    what: 'channels of different lengths',
    change: (document) => {
      firstMeasured(document).channels = {
        engineSpeed: { unit: 'rpm', values: [3000, 4000, 5000, 6000] },
        wheelPower: { unit: 'kW', values: [20, 30, 40] },
      }
    },
    pointer: `${RUN}/channels`,
    code: 'ERR_CHANNELS_UNEQUAL',
    value: /engineSpeed 4, wheelPower 3/,
    remedy: /one value per sample/,
  },
  {
    what: 'an engine speed that never rises',
    change: (document) => {
      firstMeasured(document).channels = {
        engineSpeed: { unit: 'rpm', values: [9000, 8000, 7000] },
        wheelPower: { unit: 'kW', values: [40, 30, 20] },
      }
    },
    pointer: `${RUN}/channels/engineSpeed`,
    code: 'ERR_NOT_A_SWEEP',
    value: /begins at 9000 and never rises/,
    remedy: /swapped or reversed/,
  },
  {
    what: 'a run of an unknown mounting',
    change: (document) => {
      firstMeasured(document).mounting = 'm99'
    },
    pointer: `${RUN}/mounting`,
    code: 'ERR_UNKNOWN_REFERENCE',
    value: /"m99"/,
    remedy: /Correct the id or add it there/,
  },
  {
    what: 'humidity 55 as a fraction',
    change: (document) => {
      firstMeasured(document).conditions.relativeHumidity = { value: 55, unit: '1' }
    },
    pointer: `${RUN}/conditions/relativeHumidity/value`,
    code: 'ERR_HUMIDITY',
    value: /55/,
    remedy: /%/,
  },
  {
    what: 'a gauge pressure where the station pressure belongs',
    change: (document) => {
      firstMeasured(document).conditions.stationPressure = { value: 0.2, unit: 'kPa' }
    },
    pointer: `${RUN}/conditions/stationPressure/value`,
    code: 'ERR_GAUGE_PRESSURE',
    value: /0\.2/,
    remedy: /absolute/,
  },
  {
    what: 'NaN as null',
    change: (document) => {
      firstMeasured(document).channels.engineSpeed = { unit: 'rpm', values: [3000, null, 5000] }
    },
    pointer: `${RUN}/channels/engineSpeed/values/1`,
    code: 'ERR_WRONG_TYPE',
    value: /null/,
    remedy: /number/,
  },
  {
    what: 'NaN as text',
    change: (document) => {
      firstMeasured(document).channels.engineSpeed = { unit: 'rpm', values: [3000, 'NaN', 5000] }
    },
    pointer: `${RUN}/channels/engineSpeed/values/1`,
    code: 'ERR_WRONG_TYPE',
    value: /"NaN"/,
    remedy: /number/,
  },
  {
    what: 'NaN inside base64',
    change: (document) => {
      const bytes = Buffer.from(new Float64Array([3000, Number.NaN, 5000]).buffer)
      firstMeasured(document).channels = { engineSpeed: { unit: 'rpm', base64: bytes.toString('base64') } }
    },
    pointer: `${RUN}/channels/engineSpeed/base64`,
    code: 'ERR_CHANNEL_NOT_FINITE',
    value: /Value 2 is not a finite number/,
    remedy: /Leave the sample out/,
  },
  {
    what: 'a claim whose band goes downwards',
    change: (document) => {
      const over = { kind: 'band-mean', from: { value: 9000, unit: 'rpm' }, to: { value: 4000, unit: 'rpm' } }
      document.claims = [{ ...document.claims[0], over }]
    },
    pointer: '/claims/0/over/to',
    code: 'ERR_CLAIM_BAND',
    value: /from 9000 rpm to 4000 rpm/,
    remedy: /"to" must be above "from"/,
  },
  {
    what: 'a gain in a unit of another quantity',
    change: (document) => {
      document.claims = [{ ...document.claims[0], gain: { value: 2, unit: 'N m' } }]
    },
    pointer: '/claims/0/gain/unit',
    code: 'ERR_CLAIM_UNIT',
    value: /"N m"/,
    remedy: /Allowed: %, W, kW, hp, PS/,
  },
]

/** Numbers that are none, as a text of JSON may try to hold them. */
export const noNumbers: readonly string[] = ['NaN', '-Infinity', '1e999']

/** The demo with one of them as its first engine speed. */
export function withNoNumber(disguise: string): string {
  const text = changed((document) => {
    firstMeasured(document).channels = { engineSpeed: { unit: 'rpm', values: ['HERE', 4000, 5000] } }
  })
  return text.replace('"HERE"', disguise)
}

/** Ten thousand runs. */
export function tenThousandRuns(): string {
  const run = { side: 'baseline', purpose: 'measured', origin: 'reported' }
  const runs = Array.from({ length: 10_000 }, (_, index) => ({ id: `r${index}`, ...run }))
  return JSON.stringify({ protocol: 'motorcycle-rollers@1', runs })
}

/** One thing that can be read and is not credible. */
export interface Incredible {
  readonly what: string
  readonly change: (document: Mutable) => void
  /** Check that finds it. */
  readonly check: string
}

/** What can be read but is not credible. */
export const incredible: readonly Incredible[] = [
  {
    what: 'sea-level pressure in place of station pressure at altitude',
    change: (document) => {
      document.facility.altitude = { value: 1600, unit: 'm' }
      for (const { conditions } of document.runs) {
        if (conditions?.stationPressure !== undefined) conditions.stationPressure = { value: 1013, unit: 'hPa' }
      }
    },
    check: 'air-credible',
  },
  {
    what: 'a tyre pressure read absolute on one side and gauge on the other',
    change: (document) => {
      for (const { side, setup } of document.runs) {
        const { tyrePressure } = setup as { tyrePressure?: { value: number } }
        if (side === 'modified' && tyrePressure !== undefined) tyrePressure.value += 101
      }
    },
    check: 'tyre-pressure-matched',
  },
  {
    what: 'power in horsepower under the name of kilowatts, on one side',
    change: (document) => {
      for (const { side, channels } of document.runs) {
        const power = channels?.wheelPower
        if (side === 'modified' && power !== undefined)
          power.values = (power.values ?? []).map((kW) => Number(kW) * 1.341)
      }
    },
    check: 'power-torque-agree',
  },
  {
    what: 'an engine speed that falls back in the middle of a run',
    change: (document) => {
      const speed = firstMeasured(document).channels.engineSpeed
      if (speed !== undefined)
        speed.values = (speed.values ?? []).map((rpm, k) => Number(rpm) - (k >= 40 && k < 50 ? 800 : 0))
    },
    check: 'trace-sound',
  },
]

/** A claim at an engine speed no run reaches. */
export function claimBeyond(): string {
  return changed((document) => {
    document.claims = [
      {
        id: 'beyond',
        quantity: 'wheel-power',
        over: { kind: 'at-speed', speed: { value: 19_000, unit: 'rpm' } },
        relation: 'at-least',
        gain: { value: 1, unit: '%' },
      },
    ]
  })
}
