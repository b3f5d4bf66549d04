import type { RunnableProtocol } from './define-protocol.ts'
import { motorcycleRollers0 } from './motorcycle-rollers-0.ts'

/** Every protocol the engine can judge by, by id. A published version never changes. */
export const protocols: Readonly<Record<string, RunnableProtocol>> = {
  [motorcycleRollers0.data.id]: motorcycleRollers0,
}
