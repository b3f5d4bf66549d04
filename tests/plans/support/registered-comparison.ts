/** Comparisons with what a register would say of their plan, for looking at the discipline alone. */
import type { Comparison, RegisteredPlan } from '@fairpull/sdk/contract'
import { frozenPlan } from '@fairpull/sdk/contract/schemas'
import { inputDigests } from '@fairpull/sdk/verify'
import { planFor } from './play.ts'

const MINUTE_MS = 60_000

/** The comparison as a register would have it, each run logged a minute after its start; `changed` says otherwise. */
export async function registeredComparison(
  comparison: Comparison,
  changed: Partial<RegisteredPlan> = {},
): Promise<Comparison> {
  const starts = comparison.runs.map(({ startedAt }) => Date.parse(startedAt ?? '2026-05-02T08:00:00Z'))
  const { runs } = await inputDigests(comparison)
  const plan: RegisteredPlan = {
    id: '01890000-0000-7000-8000-000000000001',
    registeredAt: new Date(Math.min(...starts) - 10 * MINUTE_MS).toISOString(),
    logIndex: 5,
    salt: '0f'.repeat(32),
    terms: frozenPlan(planFor(comparison)),
    amendments: [],
    runs: runs.map(({ run, digest }, index) => ({
      number: index + 1,
      ...{ run, digest },
      logIndex: 6 + index,
      receivedAt: new Date((starts[index] ?? 0) + MINUTE_MS).toISOString(),
    })),
    facilityRecord: 'issued',
    unpublishedPlans: 0,
    attempt: { number: 1, of: 1 },
    ...changed,
  }
  return { ...comparison, plan }
}
