import { EngineError } from '../engine-error.ts'
import type { RunnableProtocol } from './define-protocol.ts'
import { protocols } from './protocols.ts'

/**
 * The protocol of a name.
 *
 * @param id name and version.
 * @returns the protocol with its checks.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL` when the engine has none of that name.
 */
export function protocolOf(id: string): RunnableProtocol {
  const protocol = Object.hasOwn(protocols, id) ? protocols[id] : undefined
  if (protocol !== undefined) return protocol
  throw new EngineError(
    'ERR_UNKNOWN_PROTOCOL',
    `${JSON.stringify(id)} is not a protocol of this version; use one of ${Object.keys(protocols).join(', ')}`,
    '/protocol',
  )
}
