import { roundSignificant } from '../numerics/round-significant.ts'
import { holm, weightedGraph } from './multiplicity.ts'

/** One-sided level of a single claim: it agrees with the 95 % interval shown. [1] */
export const ALPHA = 0.025

/** p of one claim, and whether a plan registered it. */
export interface JudgedP {
  readonly supportP: number
  readonly contradictionP: number
}

/** What is registered of a comparison: one primary claim, and the level it is judged at. */
export interface RegisteredPlan {
  /** Index of the primary claim. */
  readonly primary: number
  /** Indexes of the registered claims, the primary one among them. */
  readonly registered: readonly number[]
  /** 1 + other plans for the same product that had their first run and are unpublished. [1] */
  readonly q: number
}

/** A judgement with its adjusted p; null for a claim outside the plan. */
export interface AdjustedJudgement {
  readonly judgement: 'supported' | 'contradicted' | 'undecided'
  readonly supportP: number | null
  readonly contradictionP: number | null
}

/**
 * Judgements of all claims of a comparison, corrected for their number.
 *
 * `supported` if adjusted p_S ≤ α; else `contradicted` if adjusted p_C ≤ α; else `undecided`. Holm without a plan; under one
 * the weighted correction at α/q, and claims outside it stay undecided.
 *
 * @param ps p of each claim, in the order of the comparison.
 * @param plan what is registered; null without a plan.
 * @returns one judgement per claim. Pure; never throws. Source: measurement-model §7 and §10.
 */
export function judgementsOf(ps: readonly JudgedP[], plan: RegisteredPlan | null): readonly AdjustedJudgement[] {
  const members = plan === null ? ps.map((_, i) => i) : plan.registered
  const adjust = (read: (p: JudgedP) => number) => {
    const own = members.map((i) => read(ps[i] ?? { supportP: 1, contradictionP: 1 }))
    return plan === null ? holm(own) : weightedGraph(own, members.indexOf(plan.primary))
  }
  const support = adjust(({ supportP }) => supportP)
  const contradiction = adjust(({ contradictionP }) => contradictionP)
  const alpha = ALPHA / (plan?.q ?? 1)
  return ps.map((_, i) => {
    const member = members.indexOf(i)
    if (member < 0) return { judgement: 'undecided', supportP: null, contradictionP: null }
    const [s, c] = [support[member] ?? 1, contradiction[member] ?? 1]
    return {
      judgement:
        roundSignificant(s) <= alpha ? 'supported' : roundSignificant(c) <= alpha ? 'contradicted' : 'undecided',
      supportP: s,
      contradictionP: c,
    }
  })
}
