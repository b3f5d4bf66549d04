/**
 * Tools for testing against this software: the service in memory with failures to be played, fixtures that are the same
 * every time, and a seeded simulator of dynamometer sessions whose truth is known.
 */
export { type Failure, failures, type Strikes } from './failures.ts'
export { createFakeService, type FakeOperation, type FakeOptions, type FakeService } from './fake-service.ts'
export { recordedSession, type SignedFixture, signedFixture, TEST_TIME, tampered, twoFigures } from './fixtures.ts'
export { createRandom, type Random } from './random.ts'
export { type GridCurve, gaussianSmoothed, highest, meanOver } from './simulator/band-mean.ts'
export { type Block, blocksOf, ordinaryPace, type Pace, type Slot } from './simulator/design.ts'
export {
  type Disclosure,
  disclosureMix,
  drawDisclosure,
  fullDisclosure,
  type NamedDisclosure,
  noDisclosure,
  type RecordGroupName,
} from './simulator/facility-record.ts'
export {
  type Fault,
  type FaultKind,
  type MissingEvidence,
  type OrdinaryFaultName,
  ordinaryFaults,
} from './simulator/fault.ts'
export { type TrueGain, trueValueOf } from './simulator/gain.ts'
export { type Machine, referenceMachine } from './simulator/machine.ts'
export { type Noise, ordinaryNoise, type Trend } from './simulator/noise.ts'
export { type OracleGain, oracleGain } from './simulator/oracle.ts'
export type { SessionRecipe } from './simulator/recipe.ts'
export type { Sampling } from './simulator/samples.ts'
export { type SimulatedSession, simulateSession } from './simulator/session.ts'
export { type SimulatedStudy, type StudyRecipe, simulateStudy } from './simulator/study.ts'
export type { TrueClaim, TrueRun, Truth } from './simulator/truth.ts'
export { TEST_ISSUER, testRootKey, testSigningKey, testTrust } from './test-key.ts'
