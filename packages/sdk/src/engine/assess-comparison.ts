import type { Comparison } from '../contract/comparison.ts'
import type { InputDigests, Result } from '../contract/result.ts'
import { judgeClaims } from './claims/judge-claims.ts'
import { planDisciplineOf } from './claims/plan-discipline.ts'
import { unborneExclusions } from './claims/unborne-exclusions.ts'
import { evidenceOf } from './evidence/evidence.ts'
import { ofSide, readSession } from './inputs/session.ts'
import { findingOf } from './protocol/check.ts'
import { protocolOf } from './protocol/protocol-of.ts'
import { scoreOf } from './protocol/score.ts'
import { standingOf } from './protocol/standing.ts'
import { accountingOf } from './result/accounting.ts'
import { alternativesOf } from './result/alternatives.ts'
import { attributionOf } from './result/attribution.ts'
import { budgetOf } from './result/budget.ts'
import { cautionsOf } from './result/cautions.ts'
import { flagsOf } from './result/flags.ts'
import { gainsOf } from './result/gains.ts'
import { limitsShown } from './result/limits-shown.ts'
import { nextStepsOf } from './result/next-steps.ts'
import { otherCausesOf } from './result/other-causes.ts'
import { scopeSentences } from './result/scope-sentences.ts'
import { verdictOf } from './result/verdict.ts'

/**
 * Version of the statistical method; the same version gives the same bytes. Any change of a number, sentence or member of the
 * result raises it, once a first version is released; until then it stays, since no summary of an earlier arithmetic is out.
 */
export const METHOD_VERSION = '1.0.0'

/** Digests that tie a result to what was judged; computed outside, since hashing is no part of the engine. */
export interface AssessmentDigests {
  /** Digest of the protocol's canonical form. */
  readonly protocol: string
  /** Digests of the comparison and its runs. */
  readonly inputs: InputDigests
}

/**
 * The assessment of a comparison: inputs → evidence → findings → standing → judgements → result.
 *
 * @param comparison a comparison that `readComparison` accepted.
 * @param digests of the protocol and the inputs.
 * @returns the result; every number rounded to 6 significant digits. The same input gives the same bytes.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL`; never on weak evidence.
 */
export function assessComparison(comparison: Comparison, digests: AssessmentDigests): Result {
  const runnable = protocolOf(comparison.protocol)
  const { data: protocol, rows } = runnable
  const seen = evidenceOf(readSession(comparison))
  const evidence = { ...seen, unborne: unborneExclusions(seen, rows) }
  const { session } = evidence
  const findings = rows.map((row) => findingOf(row, evidence))

  const gains = gainsOf(evidence, protocol)
  const reach = gains.corrected[0]?.relative.scope ?? 'none'
  const hasBothSides = ofSide(session.used, 'baseline').length > 0 && ofSide(session.used, 'modified').length > 0
  const charted = session.used.filter(({ wire }) => wire.origin === 'read-from-chart')
  const decision = standingOf(findings, reach, charted.length > 0, hasBothSides)
  const plan = planDisciplineOf(session, digests.inputs.runs, runnable)
  const otherCauses = otherCausesOf(evidence, protocol)
  const flags = flagsOf(evidence)
  const scope = scopeSentences(decision, reach, charted)
  const claims = judgeClaims(evidence, findings, { decision, scope }, protocol, plan)
  return {
    method: METHOD_VERSION,
    protocol: { id: protocol.id, digest: digests.protocol },
    inputs: digests.inputs,
    standing: decision.standing,
    scope,
    score: scoreOf(findings, decision.standing),
    verdict: verdictOf(evidence, decision, gains, claims),
    findings,
    attribution: attributionOf(session, findings, protocol),
    gains,
    alternatives: alternativesOf(evidence, protocol),
    budget: budgetOf(evidence),
    ...(flags.length === 0 ? {} : { flags }),
    claims,
    nextSteps: nextStepsOf(evidence, findings, claims, protocol),
    cautions: cautionsOf(session, findings),
    accounting: accountingOf(evidence),
    limits: limitsShown(session),
    ...(otherCauses.length === 0 ? {} : { otherCauses }),
    ...(plan.report === null ? {} : { plan: plan.report }),
  }
}
