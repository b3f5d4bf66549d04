import type { Exclusion } from '../../contract/comparison.ts'
import type { Protocol } from '../../contract/protocol.ts'
import type { Alternative } from '../../contract/result.ts'
import { plainAllowance } from '../claims/conditional.ts'
import { intervalView, lnToPercent } from '../claims/interval-view.ts'
import { type Evidence, evidenceFrom } from '../evidence/evidence.ts'
import { outlyingCells } from '../evidence/outlying.ts'
import type { SessionRun } from '../inputs/session.ts'
import { subjectView } from './gains.ts'

/**
 * The headline gain once more: with the runs that were left out, rule by rule, and without those that stand out.
 *
 * Nothing is deleted by itself, and nothing is left out unseen.
 *
 * @param evidence the evidence.
 * @param protocol for the room that printed figures leave.
 * @returns one entry per rule and per group of outlying runs; empty where nothing was left out and nothing stands out.
 *   Pure; never throws.
 */
export function alternativesOf(evidence: Evidence, protocol: Protocol): readonly Alternative[] {
  return [...withExcluded(evidence, protocol), ...withoutOutlying(evidence, protocol)]
}

function withExcluded(evidence: Evidence, protocol: Protocol): Alternative[] {
  const { session } = evidence
  const excluded = session.comparison.excluded ?? []
  const rules = [...new Set(excluded.map(({ rule }) => rule))]
  return rules.flatMap((rule) => {
    const ids = new Set(excluded.filter((each) => each.rule === rule).map(({ run }) => run))
    const back = session.runs.filter(({ id, wire }) => ids.has(id) && wire.purpose === 'measured')
    const used = session.runs.filter((run) => session.used.includes(run) || back.includes(run))
    return alternative(evidence, protocol, { kind: 'with', runs: back, used, sentence: exclusionSentence(back, rule) })
  })
}

function exclusionSentence(runs: readonly SessionRun[], rule: Exclusion['rule']): string {
  return `With ${listed(runs)}, left out under the rule ${rule}.`
}

function withoutOutlying(evidence: Evidence, protocol: Protocol): Alternative[] {
  const { session } = evidence
  const runs = outlyingCells(evidence).flatMap((cell) => cell.runs)
  const used = session.used.filter((run) => !runs.includes(run))
  return alternative(evidence, protocol, {
    kind: 'without',
    runs,
    used,
    sentence: `Without ${listed(runs)}: out of line with the others.`,
  })
}

function listed(runs: readonly SessionRun[]): string {
  return `${runs.length === 1 ? 'run' : 'runs'} ${runs.map(({ id }) => id).join(', ')}`
}

interface OtherChoice {
  readonly kind: Alternative['kind']
  readonly runs: readonly SessionRun[]
  readonly used: readonly SessionRun[]
  readonly sentence: string
}

function alternative(
  { session, traces }: Evidence,
  protocol: Protocol,
  { kind, runs, used, sentence }: OtherChoice,
): Alternative[] {
  if (runs.length === 0) return []
  const other = evidenceFrom({ ...session, used }, traces)
  const { headline } = other
  if (headline === null) return []
  const allowance = plainAllowance(other, protocol)(headline.subject.quantity)
  return [
    {
      kind,
      runs: runs.map(({ id }) => id),
      sentence,
      of: subjectView(headline.subject),
      relative: intervalView(headline.modelled, lnToPercent, 100, allowance),
    },
  ]
}
