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
export interface RowDefinition {
  readonly check: Check
  readonly severity: Severity
  readonly limits?: Readonly<Record<string, GradedLimit>>
  readonly basis: string
  readonly effect?: CheckEffect
  readonly sharesGain?: string
}

/** What a protocol file states. */
export interface ProtocolDefinition {
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

/** Limits of a row, and what they rest on. */
type OwnLimits = Pick<RowDefinition, 'basis'> & { readonly limits: NonNullable<RowDefinition['limits']> }

/**
 * The rows of one protocol with limits of another.
 *
 * @param rows of the protocol taken over.
 * @param own limits by check; a check without an entry keeps those it has.
 * @returns the rows. @throws RangeError for a check that the rows do not hold
 */
export function withLimits(
  rows: readonly RowDefinition[],
  own: Readonly<Record<string, OwnLimits>>,
): readonly RowDefinition[] {
  const unknown = Object.keys(own).filter((name) => !rows.some(({ check }) => check.name === name))
  if (unknown.length > 0) throw new RangeError(`there is no row for ${unknown.join(', ')}`)
  return rows.map((row) => ({ ...row, ...own[row.check.name] }))
}
