/** A question for a sample size and its answer, with every member that there is. */
import { type Draft, fullComparison } from './comparison-fixture.ts'

/** A question with everything that can stand in it. */
export function fullSampleSizeRequest(): Draft {
  const { protocol, facility } = fullComparison()
  return {
    protocol,
    target: { kind: 'claim', atLeast: { value: 3, unit: '%' }, slack: { value: 1.2, unit: '%' }, chance: 0.9 },
    record: facility.record,
    swap: { onRollers: true, reversible: true, minutes: 15 },
    bandWidth: { value: 5000, unit: 'rpm' },
  }
}

/** An answer. */
export function fullSampleSizeReport(): Draft {
  return {
    protocol: 'motorcycle-rollers@1',
    verdict: 'For a 95 % interval of ±1 %: 3 runs of each side, taking turns in one mounting.',
    designs: [
      {
        layout: 'interleaved',
        mountings: 1,
        runsPerMounting: 3,
        runs: 6,
        standardUncertainty: 0.4,
        degreesOfFreedom: 12,
        halfWidth: 0.9,
        slack: 1.2,
        isEnough: true,
        sentence: 'Stay strapped down and let the sides take turns.',
      },
    ],
    figures: [
      {
        term: 'repeatability',
        relativeSd: 0.004,
        degreesOfFreedom: 8,
        status: 'measured',
        sentence: '0.4 % from run to run in one mounting: measured at this facility.',
      },
    ],
    limits: ['What is expected is not what will be found.'],
  }
}
