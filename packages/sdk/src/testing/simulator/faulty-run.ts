import type { Fault } from './fault.ts'
import type { RunState } from './run-state.ts'

/** A run with the faults that happen on the rollers; those of the paperwork come later. */
export function withFaults(run: RunState, faults: readonly Fault[], isLastOfSide: boolean): RunState {
  return faults.reduce((faulty, fault) => withFault(faulty, fault, isLastOfSide), run)
}

function withFault(run: RunState, fault: Fault, isLastOfSide: boolean): RunState {
  if (run.slot.side !== 'modified') return run
  switch (fault.kind) {
    case 'gear':
      return { ...run, gear: { actual: fault.gear, written: fault.isDeclared ? fault.gear : run.gear.written } }
    case 'tyre-pressure': {
      const actual = run.tyrePressure_Pa.actual * fault.ratio_1
      return { ...run, tyrePressure_Pa: { actual, written: fault.isDeclared ? actual : run.tyrePressure_Pa.written } }
    }
    case 'strap': {
      const actual = run.strapTension_N.actual + fault.extra_N
      return { ...run, strapTension_N: { actual, written: fault.isDeclared ? actual : run.strapTension_N.written } }
    }
    case 'intake-air':
      return { ...run, air: { ...run.air, intake_K: run.air.intake_K + fault.excess_K } }
    case 'heat-soak':
      return {
        ...run,
        coolant_K: run.coolant_K + fault.difference_K,
        oil_K: run.oil_K + fault.difference_K,
        heatLoss_1: run.heatLoss_1 + fault.difference_K * fault.lossPerKelvin_1,
      }
    case 'smoothing':
      return { ...run, smoothing_rpm: fault.sd_rpm }
    case 'starvation':
      return isLastOfSide ? { ...run, starvation_1: fault.loss_1, starvationLambda_1: fault.lambdaRise_1 } : run
    case 'clipped':
      return isLastOfSide ? { ...run, to_rpm: run.to_rpm - fault.by_rpm } : run
    default:
      return run
  }
}
