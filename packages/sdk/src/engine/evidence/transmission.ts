import type { Vehicle } from '../../contract/vehicle.ts'
import type { Session, SessionRun } from '../inputs/session.ts'

/** The vehicle of a run; undefined where it names none that the document describes. */
export function vehicleOf({ comparison }: Session, { setup }: SessionRun): Vehicle | undefined {
  return comparison.vehicles?.find(({ id }) => id === setup.vehicle)
}

/** Whether every used run was made with a continuously variable drive, which has no gears and no fixed speed ratio. */
export function isContinuouslyVariable(session: Session): boolean {
  return (
    session.used.length > 0 &&
    session.used.every((run) => vehicleOf(session, run)?.transmission === 'continuously-variable')
  )
}
