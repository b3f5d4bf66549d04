import { carRollers1 } from './car-rollers-1.ts'
import type { RunnableProtocol } from './define-protocol.ts'
import { motorcycleRollers1 } from './motorcycle-rollers-1.ts'

/** Every protocol the engine can judge by, by id. A published version never changes. */
export const protocols: Readonly<Record<string, RunnableProtocol>> = {
  [motorcycleRollers1.data.id]: motorcycleRollers1,
  [carRollers1.data.id]: carRollers1,
}
