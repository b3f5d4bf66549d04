import type { PlanCounters } from '@fairpull/sdk/contract'
import type { PlanDeps } from './plan-deps.ts'
import { comparableName } from './plan-keys.ts'

/** What the plans of a publisher for a product came to; zeros for one nobody registered. */
export async function planCounters(
  { publisher, product }: { readonly publisher: string; readonly product: string },
  { store }: Pick<PlanDeps, 'store'>,
): Promise<PlanCounters> {
  const plans = await store.plans.ofPublisher(publisher, comparableName(product))
  const count = (status: string) => plans.filter((plan) => plan.status === status).length
  return {
    publisher,
    product,
    opened: plans.length,
    done: count('assessed'),
    published: plans.filter(({ isPublished }) => isPublished).length,
    abandoned: count('abandoned'),
    withdrawn: count('withdrawn'),
  }
}
