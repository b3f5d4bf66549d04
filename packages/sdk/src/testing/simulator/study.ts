import type { Study, StudyRun } from '../../contract/index.ts'
import { noDisclosure, simulatedScope } from './facility-record.ts'
import type { SessionRecipe } from './recipe.ts'
import { simulateSession } from './session.ts'
import type { Truth } from './truth.ts'

/** What study to simulate: a session in which nothing is changed. */
export interface StudyRecipe
  extends Pick<SessionRecipe, 'seed' | 'noise' | 'trend' | 'pace' | 'faults' | 'machine' | 'sampling' | 'channels'> {
  /** Mountings in the notation of `blocksOf`, side `A` alone: `A|A|A|A` in a row, `A|A/A|A` on two days. */
  readonly design: string
  /** Measured runs in each mounting. */
  readonly runsPerMounting: number
}

/** A simulated study: the document that would be submitted, and what really happened. */
export interface SimulatedStudy {
  /** The document. */
  readonly study: Study
  /** What is true of it. */
  readonly truth: Truth
}

/**
 * Simulates a repeatability study: one unchanged machine, strapped down several times.
 *
 * @throws RangeError when the design cannot be read, or holds a changed machine.
 */
export function simulateStudy({ design, runsPerMounting, ...recipe }: StudyRecipe): SimulatedStudy {
  if (design.includes('B')) throw new RangeError('a study is made of one unchanged machine: its design has no B')
  const { comparison, truth } = simulateSession({
    ...recipe,
    design,
    runsPerBlock: runsPerMounting,
    gain: { shape: 'uniform', percent: 0 },
    claims: [],
    disclosure: noDisclosure,
  })
  const { protocol, facility, vehicles = [], driveTyres = [], mountings = [], runs } = comparison
  const [vehicle] = vehicles
  if (facility === undefined || vehicle === undefined) throw new TypeError('a simulated session names both')
  const study: Study = {
    protocol,
    name: 'simulated study',
    reportIn: 'un-r85',
    facility,
    vehicle,
    driveTyres,
    band: { from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
    appliesTo: simulatedScope,
    mountings,
    runs: runs.map(({ side: _, mounting = '', ...run }): StudyRun => ({ ...run, mounting })),
  }
  return { study, truth }
}
