import type { Vehicle } from '../../../contract/vehicle.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { toSI } from '../../physics/units.ts'
import { type Check, type Observation, observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides are the same machine, by frame-number digest, else by id; its odometer does not fall.
 *
 * `met` when equal on every run; `breached` when not, or when the odometer falls; `not-evidenced` when a run names none.
 * Basis: common practice, no source.
 */
export const vehicleMatched: Check = {
  name: 'vehicle-matched',
  compares: 'frame-number digest or id of the vehicle; odometer not falling',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/vehicle', 'vehicle/id', 'vehicle/label', 'vehicle/frameNumberDigest', 'vehicle/odometer'],
  observe: (evidence) => fallingOdometer(evidence) ?? sameVehicle(evidence),
}

function vehicleOf({ session }: Evidence, run: SessionRun): Vehicle | undefined {
  return session.comparison.vehicles?.find(({ id }) => id === run.setup.vehicle)
}

function sameVehicle(evidence: Evidence): Observation {
  const identity = (run: SessionRun) => vehicleOf(evidence, run)?.frameNumberDigest ?? run.setup.vehicle ?? null
  return sameOnEveryRun(evidence.session.used, [{ name: 'vehicle', read: identity }], {
    same: 'The same machine ran on both sides.',
    ifDifferent: 'Measure both sides on one machine; a difference between two machines is not the part.',
    ifMissing: 'Name the vehicle of every run, best with a salted digest of its frame number.',
  })
}

function fallingOdometer(evidence: Evidence): Observation | null {
  const readings = evidence.session.used.flatMap((run) => {
    const odometer = vehicleOf(evidence, run)?.odometer
    return odometer === undefined ? [] : [{ run, km: toSI('length', odometer) / 1000 }]
  })
  const fall = readings.find(({ km }, index) => km < (readings[index - 1]?.km ?? 0))
  if (fall === undefined) return null
  return observation('breached', {
    observed: fall.km,
    limit: Math.max(...readings.map(({ km }) => km)),
    unit: 'km',
    runs: [fall.run.id],
    sentence: 'The odometer falls from one run to a later one.',
    remedy: 'Put the odometer readings right, or name the second machine that was measured.',
  })
}
