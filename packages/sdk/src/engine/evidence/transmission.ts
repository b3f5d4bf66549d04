import { type Session, vehicleOf } from '../inputs/session.ts'

/** Whether every used run was made with a continuously variable drive, which has no gears and no fixed speed ratio. */
export function isContinuouslyVariable(session: Session): boolean {
  return (
    session.used.length > 0 &&
    session.used.every((run) => vehicleOf(session, run)?.transmission === 'continuously-variable')
  )
}
