/** A repeatability study and what it shows, with every member that there is. */
import { fullResult } from './answer-fixture.ts'
import { type Draft, fullComparison } from './comparison-fixture.ts'

/** A study with everything that can stand in it. */
export function fullStudy(): Draft {
  const { protocol, runs, reportIn, facility, vehicles, driveTyres, mountings, excluded } = fullComparison()
  return {
    protocol,
    name: 'spring study',
    reportIn,
    facility,
    vehicle: vehicles[0],
    driveTyres,
    band: { from: { value: 4000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
    appliesTo: { machine: 'the house machine', strapping: 'four ratchet straps', class: 'up to 100 kW' },
    mountings,
    runs: [runs[0], { ...runs[2], side: undefined, mounting: 's1' }].map(({ side, ...run }) =>
      side === undefined ? run : { ...run, side },
    ),
    excluded,
    past: [{ relativeSd: 0.004, degreesOfFreedom: 2, on: '2026-02-28' }],
  }
}

/** What a study shows, with everything that can stand in it. */
export function fullStudyResult(): Draft {
  const { findings, accounting, cautions } = fullResult()
  const { facility } = fullComparison()
  return {
    method: '1.0.0',
    protocol: 'motorcycle-rollers@1',
    facility: 'hall 2',
    verdict: 'Repeatability 0.40 %, re-mounting 0.50 %.',
    record: facility.record,
    missing: [{ part: 'day', sentence: 'One day.', remedy: 'Add days.' }],
    figures: { from_rpm: 4000, to_rpm: 9000, correction: 'un-r85', mountings: 4, days: 1 },
    components: {
      analysis: 'nested-anova',
      of: [{ source: 'repeatability', relativeSd: 0.004, degreesOfFreedom: 8 }],
      isDayInMounting: true,
    },
    scatter: [{ of: 'runs', relativeSd: 0.004, degreesOfFreedom: 8 }],
    prior: { series: 4, relativeSd: 0.004, spreadDegreesOfFreedom: null, degreesOfFreedom: 8 },
    localDegreesOfFreedom: 8,
    runs: [{ run: 'b1', mounting: 's1', day: '2026-01-31', bandMean_kW: 51.2 }],
    excluded: accounting.excluded,
    notMeasured: accounting.notMeasured,
    outlying: ['b1'],
    differences: [{ member: 'setup/fan', values: 2, isWithinMounting: false }],
    findings,
    limits: ['The rig is taken at its word.'],
    cautions,
  }
}

/** A study in the register. */
export function fullRegisteredStudy(): Draft {
  const id = '01890000-0000-7000-8000-000000000000'
  return { id, registeredAt: '2026-05-02T09:30:00Z', result: fullStudyResult() }
}

/** Control charts of one study. */
export function fullStudyCharts(): Draft {
  return { facility: 'hall 2', charts: [fullControlChart()] }
}

function fullControlChart(): Draft {
  return {
    of: 'runs',
    relativeSd: 0.004,
    points: [
      {
        study: 'spring study',
        on: '2026-01-31',
        relativeSd: 0.004,
        degreesOfFreedom: 8,
        centre: 0.00388,
        lower: 0.0009,
        upper: 0.0068,
        isInControl: true,
      },
    ],
    sentence: 'In control.',
  }
}
