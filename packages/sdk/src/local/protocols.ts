import type { Protocol } from '../contract/protocol.ts'
import { protocols as runnable } from '../engine/protocol/protocols.ts'

/** Every protocol of this version as published data, by id. */
export const protocols: Readonly<Record<string, Protocol>> = Object.fromEntries(
  Object.entries(runnable).map(([id, { data }]) => [id, data]),
)
