import { airClose } from './checks/air-close.ts'
import { airCredible } from './checks/air-credible.ts'
import { airWithinStandard } from './checks/air-within-standard.ts'
import { allRunsCounted } from './checks/all-runs-counted.ts'
import { blockConsecutive } from './checks/block-consecutive.ts'
import { cadenceMatched } from './checks/cadence-matched.ts'
import { coolingMatched } from './checks/cooling-matched.ts'
import { correctionMatched } from './checks/correction-matched.ts'
import { driftFree } from './checks/drift-free.ts'
import { engineTemperatureMatched } from './checks/engine-temperature-matched.ts'
import { fuelMatched } from './checks/fuel-matched.ts'
import { fuellingSound } from './checks/fuelling-sound.ts'
import { gearMatched } from './checks/gear-matched.ts'
import { intakeAirMatched } from './checks/intake-air-matched.ts'
import { mixtureMatched } from './checks/mixture-matched.ts'
import { modeMatched } from './checks/mode-matched.ts'
import { mountingsEnough } from './checks/mountings-enough.ts'
import { noDuplicateRuns } from './checks/no-duplicate-runs.ts'
import { oneChange } from './checks/one-change.ts'
import { orderCoherent } from './checks/order-coherent.ts'
import { outlierFree } from './checks/outlier-free.ts'
import { plannedBefore } from './checks/planned-before.ts'
import { powerTorqueAgree } from './checks/power-torque-agree.ts'
import { processingMatched } from './checks/processing-matched.ts'
import { repeatability } from './checks/repeatability.ts'
import { returnedToBaseline } from './checks/returned-to-baseline.ts'
import { riderMatched } from './checks/rider-matched.ts'
import { rollersMatched } from './checks/rollers-matched.ts'
import { runsEnough } from './checks/runs-enough.ts'
import { speedRatioMatched } from './checks/speed-ratio-matched.ts'
import { speedRatioSteady } from './checks/speed-ratio-steady.ts'
import { strapLoadMatched } from './checks/strap-load-matched.ts'
import { sweepMatched } from './checks/sweep-matched.ts'
import { traceSound } from './checks/trace-sound.ts'
import { tyreMatched } from './checks/tyre-matched.ts'
import { tyrePressureMatched } from './checks/tyre-pressure-matched.ts'
import { undeclaredDifferences } from './checks/undeclared-differences.ts'
import { vehicleMatched } from './checks/vehicle-matched.ts'
import { warmedUp } from './checks/warmed-up.ts'
import { defineProtocol, type ProtocolDefinition } from './define-protocol.ts'

const COMMON_PRACTICE = 'common practice, no source'

/** The protocol as written. */
export const motorcycleRollers1Definition: ProtocolDefinition = {
  id: 'motorcycle-rollers@1',
  title: 'Before/after comparison of a motorcycle on a roller dynamometer',
  assumed: {
    typical: { repeatability: 0.005, localNoise: 0.003, remounting: 0.005, day: 0.005 },
    cautious: { repeatability: 0.008, localNoise: 0.005, remounting: 0.01, day: 0.008 },
  },
  rows: [
    { check: vehicleMatched, severity: 'gate', basis: COMMON_PRACTICE },
    { check: rollersMatched, severity: 'gate', basis: COMMON_PRACTICE },
    {
      check: gearMatched,
      severity: 'gate',
      limits: { ratio: { met: 3, marginal: 3, unit: '%' }, gearing: { met: 10, marginal: 10, unit: '%' } },
      basis: 'measurement-model §8 from run to run; against the gearing common practice, no source',
      sharesGain: 'gear',
    },
    {
      check: tyrePressureMatched,
      severity: 'gate',
      limits: { sideDifference: { met: 7, marginal: 20, unit: 'kPa' } },
      basis: COMMON_PRACTICE,
      sharesGain: 'drive-tyre pressure',
    },
    { check: tyreMatched, severity: 'gate', basis: COMMON_PRACTICE, sharesGain: 'drive tyre' },
    {
      check: strapLoadMatched,
      severity: 'scope',
      limits: {
        tension: { met: 10, marginal: 20, unit: '%' },
        suspensionLength: { met: 5, marginal: 10, unit: 'mm' },
      },
      basis: COMMON_PRACTICE,
    },
    { check: mountingsEnough, severity: 'scope', basis: 'measurement-model §3.5' },
    { check: fuelMatched, severity: 'scope', basis: COMMON_PRACTICE, sharesGain: 'fuel' },
    {
      check: warmedUp,
      severity: 'gate',
      limits: { coolant: { met: 70, marginal: 70, unit: 'degC' }, oil: { met: 60, marginal: 60, unit: 'degC' } },
      basis: COMMON_PRACTICE,
    },
    {
      check: engineTemperatureMatched,
      severity: 'scope',
      limits: {
        coolantPerRun: { met: 4, marginal: 4, unit: 'K' },
        coolantSingleRun: { met: 3, marginal: 3, unit: 'K' },
        coolant: { met: 10, marginal: 10, unit: 'K' },
        oil: { met: 8, marginal: 15, unit: 'K' },
      },
      basis: 'measurement-model §8 for the coolant; else common practice, no source',
      effect: { on: ['marginal', 'breached'], onlyWhenOneSideFirst: true },
    },
    {
      check: intakeAirMatched,
      severity: 'scope',
      limits: { sideDifference: { met: 5, marginal: 10, unit: 'K' } },
      basis: COMMON_PRACTICE,
      effect: { on: ['breached'], onlyWhenOneSideFirst: false },
    },
    { check: coolingMatched, severity: 'scope', basis: COMMON_PRACTICE, sharesGain: 'cooling' },
    { check: riderMatched, severity: 'scope', basis: COMMON_PRACTICE, sharesGain: 'rider or ballast' },
    { check: modeMatched, severity: 'scope', basis: COMMON_PRACTICE, sharesGain: 'riding mode' },
    {
      check: mixtureMatched,
      severity: 'scope',
      limits: { sideDifference: { met: 0.02, marginal: 0.04, unit: '1' } },
      basis: COMMON_PRACTICE,
      sharesGain: 'mixture',
    },
    {
      check: sweepMatched,
      severity: 'gate',
      limits: { spread: { met: 10, marginal: 20, unit: '%' } },
      basis: COMMON_PRACTICE,
    },
    {
      check: cadenceMatched,
      severity: 'note',
      limits: { ratio: { met: 1.25, marginal: 2, unit: '1' } },
      basis: COMMON_PRACTICE,
    },
    {
      check: correctionMatched,
      severity: 'gate',
      limits: {
        betweenSides: { met: 0.2, marginal: 0.5, unit: '%' },
        level: { met: 0.5, marginal: 1, unit: '%' },
      },
      basis: 'formula of the declared standard; limits common practice, no source',
    },
    {
      check: processingMatched,
      severity: 'scope',
      limits: { roughness: { met: 2.5, marginal: 2.5, unit: '1' }, density: { met: 1.25, marginal: 2, unit: '1' } },
      basis: 'measurement-model §6 and §8; sample density common practice, no source',
    },
    { check: airWithinStandard, severity: 'scope', basis: 'validity range of the standard reported' },
    {
      check: airClose,
      severity: 'scope',
      limits: { sideDifference: { met: 1, marginal: 2, unit: '%' } },
      basis: COMMON_PRACTICE,
    },
    {
      check: airCredible,
      severity: 'gate',
      limits: { pressureFromAltitude: { met: 3.5, marginal: 5, unit: 'kPa' } },
      basis: 'ISO 2533 for the pressure at an altitude; limits common practice, no source',
    },
    {
      check: runsEnough,
      severity: 'scope',
      limits: { perSide: { met: 3, marginal: 2, unit: 'runs' } },
      basis: COMMON_PRACTICE,
    },
    {
      check: repeatability,
      severity: 'scope',
      limits: { withinMounting: { met: 1, marginal: 2, unit: '%' } },
      basis: 'Directive 80/1269/EEC: two readings within 2 %; the inner limit common practice, no source',
    },
    { check: driftFree, severity: 'scope', basis: 'measurement-model §3.1 and §8' },
    {
      check: outlierFree,
      severity: 'scope',
      basis: 'measurement-model §8',
      effect: { on: ['breached'], onlyWhenOneSideFirst: false },
    },
    { check: returnedToBaseline, severity: 'scope', basis: 'measurement-model §8; common practice, no source' },
    { check: blockConsecutive, severity: 'gate', basis: COMMON_PRACTICE },
    {
      check: traceSound,
      severity: 'run-level',
      limits: {
        span: { met: 1000, marginal: 500, unit: 'rpm' },
        fallBack: { met: 100, marginal: 250, unit: 'rpm' },
        density: { met: 4, marginal: 2, unit: 'points per 1,000 rpm' },
        gap: { met: 250, marginal: 500, unit: 'rpm' },
        throttle: { met: 95, marginal: 90, unit: '%' },
      },
      basis: 'measurement-model §8; common practice, no source',
    },
    {
      check: powerTorqueAgree,
      severity: 'gate',
      limits: { deviation: { met: 0.5, marginal: 1, unit: '%' } },
      basis: 'mechanics, and NIST SP 811 for the units; limits common practice, no source',
    },
    {
      check: speedRatioSteady,
      severity: 'run-level',
      limits: { growth: { met: 4, marginal: 6, unit: '%' }, step: { met: 1, marginal: 1, unit: '%' } },
      basis: 'measurement-model §8; common practice, no source',
    },
    {
      check: speedRatioMatched,
      severity: 'scope',
      limits: { p: { met: 0.005, marginal: 0.005, unit: 'p' }, lowLoad: { met: 0.3, marginal: 0.5, unit: '%' } },
      basis: 'measurement-model §8; without power common practice, no source',
      effect: { on: ['breached'], onlyWhenOneSideFirst: false },
    },
    {
      check: fuellingSound,
      severity: 'run-level',
      limits: { level: { met: 0.95, marginal: 1, unit: '1' }, dispersion: { met: 0.03, marginal: 0.05, unit: '1' } },
      basis: 'measurement-model §8; level and dispersion common practice, no source',
    },
    { check: noDuplicateRuns, severity: 'note', basis: 'measurement-model §8' },
    { check: oneChange, severity: 'scope', basis: COMMON_PRACTICE },
    { check: undeclaredDifferences, severity: 'scope', basis: COMMON_PRACTICE },
    { check: plannedBefore, severity: 'note', basis: 'measurement-model §10' },
    { check: allRunsCounted, severity: 'gate', basis: 'measurement-model §8' },
    { check: orderCoherent, severity: 'scope', basis: 'measurement-model §8' },
  ],
}

/** Before/after comparison of a motorcycle on a roller dynamometer. */
export const motorcycleRollers1 = defineProtocol(motorcycleRollers1Definition)
