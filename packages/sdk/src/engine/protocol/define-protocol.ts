import type { AssumedValues, CheckEffect, GradedLimit, Protocol, ProtocolCheck } from '../../contract/protocol.ts'
import type { Severity } from '../../contract/result.ts'
import type { Check, ProtocolRow } from './check.ts'

/** A protocol that can be run: its published data, and the check behind each row. */
export interface RunnableProtocol {
  /** What is published and digested. */
  readonly data: Protocol
  /** Rows in printed order. */
  readonly rows: readonly ProtocolRow[]
}

/** A row as written in a protocol file. */
interface RowDefinition {
  readonly check: Check
  readonly severity: Severity
  readonly limits?: Readonly<Record<string, GradedLimit>>
  readonly basis: string
  readonly effect?: CheckEffect
  readonly sharesGain?: string
}

/** What a protocol file states. */
interface ProtocolDefinition {
  readonly id: string
  readonly title: string
  readonly assumed: { readonly typical: AssumedValues; readonly cautious: AssumedValues }
  readonly rows: readonly RowDefinition[]
}

/** A protocol from its rows: the only place where data and checks are joined. */
export function defineProtocol({ rows, ...head }: ProtocolDefinition): RunnableProtocol {
  const owned = new Set(rows.flatMap(({ check }) => check.owns ?? []))
  const runnable = rows.map(({ check, severity, limits, basis, effect, sharesGain }): ProtocolRow => {
    const rule: ProtocolCheck = {
      check: check.name,
      compares: check.compares,
      severity,
      limits: limits ?? {},
      basis,
      effect: effect ?? null,
      sharesGain: sharesGain ?? null,
    }
    return { check, rule, owned }
  })
  return { data: { ...head, checks: runnable.map(({ rule }) => rule) }, rows: runnable }
}
