import type { Protocol } from '../../contract/protocol.ts'
import type { ClaimJudgement, Finding, NextStep } from '../../contract/result.ts'
import type { Swap } from '../../contract/vehicle.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { isHearsay } from '../inputs/hearsay.ts'
import type { Session } from '../inputs/session.ts'
import { isQuickSwap } from './advised-designs.ts'
import { plannedRunsSentence } from './planned-runs.ts'

/**
 * What to do next, the cheapest first: what notes can still supply, then minutes, then hours on the rollers; for figures
 * nobody handed over, what to ask the publisher.
 *
 * @param evidence the evidence.
 * @param findings all findings.
 * @param claims all judgements.
 * @param protocol for the numbers of a repetition.
 * @returns steps; empty when nothing is left to do. Pure; never throws.
 */
export function nextStepsOf(
  evidence: Evidence,
  findings: readonly Finding[],
  claims: readonly ClaimJudgement[],
  protocol: Protocol,
): readonly NextStep[] {
  const { session } = evidence
  const isReported = session.used.length > 0 && session.used.every(isHearsay)
  const open = claims
    .filter(({ judgement }) => judgement === 'undecided' || judgement === 'not-assessable')
    .map(({ claim }) => claim)
  if (isReported) return [askThePublisher(findings, open)]
  return [...fromRecords(findings), ...breaches(findings), ...onTheRollers(evidence, claims, findings, open, protocol)]
}

function askThePublisher(findings: readonly Finding[], open: readonly string[]): NextStep {
  return {
    cost: 'ask-the-publisher',
    sentence:
      'Wheel or crankshaft, correction standard, uncorrected figures, number of runs on each side and how the printed one was chosen, same machine and day, and the tune on both sides.',
    settles: [
      ...findings
        .filter(({ status, severity }) => status === 'not-evidenced' && severity === 'gate')
        .map(({ check }) => check),
      ...open,
    ],
  }
}

function fromRecords(findings: readonly Finding[]): NextStep[] {
  return findings
    .filter(
      ({ status, evidence, severity }) =>
        status === 'not-evidenced' && evidence === 'from-records' && severity !== 'note',
    )
    .map(({ check, remedy }): NextStep => ({ cost: 'records', sentence: remedy, settles: [check] }))
}

/** Gates first: they decide everything else. */
function breaches(findings: readonly Finding[]): NextStep[] {
  const weight = (finding: Finding) => (finding.severity === 'gate' || finding.severity === 'run-level' ? 0 : 1)
  return findings
    .filter(({ status, severity, remedy }) => status === 'breached' && severity !== 'note' && remedy !== '')
    .toSorted((a, b) => weight(a) - weight(b))
    .map(({ check, remedy }): NextStep => ({ cost: 'minutes-on-the-rollers', sentence: remedy, settles: [check] }))
}

/** How the change under test can be repeated; the slowest swap rules. */
function slowestSwap(session: Session): Swap | null {
  const swaps = (session.comparison.changes ?? []).flatMap(({ role, swap }) =>
    role === 'under-test' && swap !== undefined ? swap : [],
  )
  return swaps.reduce<Swap | null>(
    (slowest, swap) => (slowest === null || swap.minutes > slowest.minutes ? swap : slowest),
    null,
  )
}

function onTheRollers(
  evidence: Evidence,
  claims: readonly ClaimJudgement[],
  findings: readonly Finding[],
  open: readonly string[],
  protocol: Protocol,
): NextStep[] {
  const repeat = findings
    .filter(
      ({ status, evidence, severity }) => status === 'not-evidenced' && evidence === 'repeat' && severity !== 'note',
    )
    .map(({ check }) => check)
  const settles = [...repeat, ...open]
  if (settles.length === 0) return []
  const swap = slowestSwap(evidence.session)
  if (swap === null) {
    return [
      {
        cost: 'hours-on-the-rollers',
        sentence:
          'Say how long the change takes and whether it can be made on the rollers; then repeat: strapped down and interleaved where it can, else with three strappings within each side.',
        settles,
      },
    ]
  }
  const isQuick = isQuickSwap(swap)
  const planned = plannedRunsSentence(evidence, claims, swap, protocol)
  const numbers = planned === null ? '' : ` ${planned}`
  return [
    isQuick
      ? {
          cost: 'minutes-on-the-rollers',
          sentence: `Stay strapped down and measure baseline, modified, baseline, three runs a block with equal pauses after a conditioning run.${numbers}`,
          settles,
        }
      : {
          cost: 'hours-on-the-rollers',
          sentence: `Strap the machine down three times within each side without touching the part, one conditioning and one measured run each: that gives an interval without any facility record.${numbers}`,
          settles,
        },
  ]
}
