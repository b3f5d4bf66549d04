import type { ClaimJudgement, Gains } from '../../contract/result.ts'
import { intervalWords } from '../claims/claim-words.ts'
import type { Evidence } from '../evidence/evidence.ts'
import type { StandingDecision } from '../protocol/standing.ts'

/**
 * The answer in one plain sentence: the standing with what made it so, the headline gain, and how the claims fared.
 *
 * @param evidence for the headline.
 * @param decision the standing.
 * @param gains for the figure.
 * @param claims for the count.
 * @returns the sentence. Pure; never throws.
 */
export function verdictOf(
  evidence: Evidence,
  decision: StandingDecision,
  gains: Gains,
  claims: readonly ClaimJudgement[],
): string {
  if (decision.standing === 'invalid') {
    const names = decision.invalidating.map(({ check }) => check)
    return names.length === 0
      ? 'Invalid: a side has no usable run, so there is nothing to compare.'
      : `Invalid: the two sides did not run under the same conditions (${names.join(', ')}), so no gain can be claimed.`
  }
  const [headline] = gains.corrected
  const figure = headline === undefined ? 'no gain can be estimated' : intervalWords(headline.relative, '%')
  const of = evidence.headline === null ? '' : `, ${evidence.headline.name}`
  const word = decision.standing === 'valid' ? 'Valid' : 'Limited'
  return `${word}: ${figure}${of}. ${claimCount(claims)}`.trim()
}

function claimCount(claims: readonly ClaimJudgement[]): string {
  if (claims.length === 0) return 'Nothing was claimed.'
  const counts = (['supported', 'contradicted', 'undecided'] as const).flatMap((judgement) => {
    const count = claims.filter((claim) => claim.judgement === judgement).length
    return count === 0 ? [] : [`${count} ${judgement}`]
  })
  return `Claims: ${counts.join(', ')}.`
}
