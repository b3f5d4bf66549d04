/** A comparison that uses every member of the contract once, and small ones to break. */

/** A JSON value that a test may change. */
// biome-ignore lint/suspicious/noExplicitAny: a draft is broken on purpose, so no type holds for it
export type Draft = { [member: string]: any }

const rpm = [3000, 4000, 5000, 6000]

/** A measured run with engine speed and power. */
export function measuredRun(id: string, side: 'baseline' | 'modified'): Draft {
  return {
    id,
    side,
    purpose: 'measured',
    channels: {
      engineSpeed: { values: [...rpm], unit: 'rpm' },
      wheelPower: { values: [20, 30, 40, 45], unit: 'kW' },
    },
  }
}

/** Two curves and nothing else: the smallest comparison with curves. */
export function smallComparison(): Draft {
  return { protocol: 'motorcycle-rollers@1', runs: [measuredRun('b1', 'baseline'), measuredRun('m1', 'modified')] }
}

/** A comparison with one claim. */
export function claiming(claim: Draft): Draft {
  return { ...smallComparison(), claims: [{ ...bandClaim(), ...claim }] }
}

/** At least 2 % from 4,000 to 6,000 rpm. */
export function bandClaim(): Draft {
  return {
    id: 'c1',
    quantity: 'wheel-power',
    over: { kind: 'band-mean', from: { value: 4000, unit: 'rpm' }, to: { value: 6000, unit: 'rpm' } },
    relation: 'at-least',
    gain: { value: 2, unit: '%' },
  }
}

/** Every member once. */
export function fullComparison(): Draft {
  return {
    protocol: 'motorcycle-rollers@1',
    reportIn: 'un-r85',
    facility: facility(),
    vehicles: [vehicle()],
    driveTyres: [{ id: 't1', size: '180/55ZR17', maxPressure: { value: 290, unit: 'kPa' }, speedSymbol: 'W' }],
    changes: [
      {
        what: 'air-filter element',
        role: 'under-test',
        accountsFor: ['tune', 'mode'],
        swap: { onRollers: true, reversible: true, minutes: 15 },
      },
    ],
    mountings: [mounting()],
    runs: [fullRun(), reportedRun(), { id: 'w1', side: 'baseline', purpose: 'conditioning', mounting: 's1' }],
    unlisted: [{ counters: [213, 236], purpose: 'other-machine' }],
    excluded: [{ run: 'b1', rule: 'slip', reason: 'The tyre slipped.\nIt was heard, too.' }],
    claims: [
      bandClaim(),
      { ...bandClaim(), id: 'c2', over: { kind: 'peak' } },
      {
        ...bandClaim(),
        id: 'c3',
        quantity: 'wheel-torque',
        over: { kind: 'at-speed', speed: { value: 5000, unit: 'rpm' } },
        relation: 'equals-within',
        gain: { value: 2, unit: 'N m' },
        tolerance: { value: 1, unit: 'N m' },
      },
    ],
  }
}

/** The full comparison with one member changed; `undefined` takes it out. */
export function changed(pointer: string, value: unknown): Draft {
  const draft = fullComparison()
  const steps = pointer.split('/').slice(1)
  const last = steps.pop() ?? ''
  const parent = steps.reduce<Draft>((here, step) => here[step], draft)
  if (value === undefined) delete parent[last]
  else parent[last] = value
  return draft
}

function facility(): Draft {
  const group = () => ({ relativeSd: 0.004, degreesOfFreedom: 8, status: 'measured' })
  return {
    id: 'hall 2',
    altitude: { value: -3, unit: 'm' },
    rollers: [
      {
        id: 'r1',
        kind: 'inertia',
        inertia: { value: 30, unit: 'kg m2' },
        rollerRadius: { value: 0.2, unit: 'm' },
        calibratedOn: '2024-02-29',
      },
    ],
    record: {
      study: 'study 7',
      on: '2026-01-31',
      appliesTo: { machine: 'The twin', strapping: 'four straps', class: 'up to 100 kW' },
      repeatability: group(),
      remounting: { ...group(), tiltRelativeSd: 0.0015, spacing: { value: 40, unit: 'min' } },
      day: group(),
      drift: { ...group(), relativeSd: 0 },
      ambient: group(),
      localNoise: {
        relativeSd: 0.003,
        correlationLength: { value: 200, unit: 'rpm' },
        profile: [{ at: { value: 3000, unit: 'rpm' }, weight: 1.2 }],
      },
    },
  }
}

function vehicle(): Draft {
  return {
    id: 'v1',
    label: 'The twin',
    class: 'up to 100 kW',
    frameNumberDigest: 'a'.repeat(64),
    odometer: { value: 12_000, unit: 'km' },
    transmission: 'stepped',
    gearing: { primary: 1.7, gears: [2.6, 1.9, 1.5], final: 2.5 },
    engine: { cycle: 'four-stroke', ignition: 'spark', aspiration: 'natural', fuelling: 'injection' },
  }
}

function mounting(): Draft {
  return {
    id: 's1',
    at: '2026-05-02T08:40:00+02:00',
    strapping: 'four straps',
    straps: [{ position: 'rear-left', tension: { value: 900, unit: 'N' }, angle: { value: 40, unit: 'deg' } }],
    suspensionLength: { value: 412, unit: 'mm' },
    setup: setup(),
    conditions: conditions(),
  }
}

function setup(): Draft {
  return {
    vehicle: 'v1',
    rollers: 'r1',
    driveTyre: 't1',
    gear: 5,
    tyrePressure: {
      value: 250,
      unit: 'kPa',
      state: 'before-run',
      tyreTemperature: { value: 35, unit: 'degC' },
    },
    tune: 'stock',
    mode: 'rain off',
    fan: 'full',
    extraction: 'on',
    riderAboard: false,
    ballast: { value: 0, unit: 'kg' },
    fuel: { name: 'petrol 95', batch: 'week 17' },
    sweep: {
      mode: 'steady rate',
      rate: { value: 500, unit: 'rpm/s' },
      startSpeed: { value: 3000, unit: 'rpm' },
      inertia: { value: 25, unit: 'kg m2' },
    },
  }
}

function conditions(): Draft {
  return {
    stationPressure: { value: 1001, unit: 'hPa' },
    cellAirTemperature: { value: 21, unit: 'degC' },
    intakeAirTemperature: { value: 22, unit: 'degC', place: 'outside-machine' },
    relativeHumidity: { value: 55, unit: '%' },
    coolantTemperature: { value: 85, unit: 'degC' },
    oilTemperature: { value: 90, unit: 'degC' },
  }
}

function fullRun(): Draft {
  const zeros = 'AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA='
  return {
    ...measuredRun('b1', 'baseline'),
    mounting: 's1',
    sequence: 1,
    counter: 0,
    startedAt: '2026-05-02T09:30:00.250Z',
    origin: 'exported',
    source: { name: 'pull 212.csv', sha256: '0'.repeat(64) },
    setup: setup(),
    conditions: conditions(),
    processing: {
      measuredAt: 'wheel',
      correction: 'sae-j1349-jun90',
      factor: { value: 1.02, resolution: 0.01 },
      smoothing: { kernel: 'gaussian', width: { value: 75, unit: 'rpm' } },
    },
    channels: {
      time: { values: [0, 1, 2, 3], unit: 's' },
      engineSpeed: { values: [...rpm], unit: 'rpm' },
      wheelPower: { values: [20, 30, 40, 45], unit: 'kW' },
      torque: { base64: zeros, unit: 'N m' },
      axleTorque: { values: [1, 2, 3, 4], unit: 'N m' },
      rollerSpeed: { values: [20, 30, 40, 50], unit: 'm/s' },
      mixture: { values: [0.9, 0.9, 0.9, 0.9], unit: '1', as: 'afr', stoichiometric: 14.7, probe: 'bung' },
      throttle: { values: [99, 100, 100, 100], unit: '%' },
    },
  }
}

function reportedRun(): Draft {
  return {
    id: 'm1',
    side: 'modified',
    purpose: 'measured',
    origin: 'reported',
    reported: {
      peakPower: { value: 74.2, unit: 'kW' },
      at: { value: 8400, unit: 'rpm' },
      peakTorque: { value: 92, unit: 'N m' },
      peakTorqueAt: { value: 6800, unit: 'rpm' },
      resolution: 0.1,
      torqueResolution: 0.1,
    },
  }
}
