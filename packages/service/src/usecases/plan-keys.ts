import type { Plan } from '@fairpull/sdk/contract'
import type { PlanKeys, SiblingPlan, StoredPlan } from '../plan-ports.ts'

/** A name in the form in which names are compared: neither case nor blanks make another product. */
export function comparableName(name: string): string {
  return name.normalize('NFKC').trim().replaceAll(/\s+/gu, ' ').toLowerCase()
}

/** What a plan is counted by. */
export function planKeys({ product, vehicle, primary }: Plan): PlanKeys {
  return {
    product: comparableName(product),
    vehicle: vehicle.frameNumberDigest ?? comparableName(vehicle.label ?? vehicle.id),
    quantity: primary.quantity,
  }
}

/** What the other plans of the same organisation mean for one of them. */
export interface PlanRivals {
  /** Other plans for the product and primary quantity that had their first run and are unpublished. */
  readonly unpublishedPlans: number
  /** Place among the plans for the product and machine, in the order of registration; withdrawn ones are not counted. */
  readonly attempt: { readonly number: number; readonly of: number }
}

/**
 * The others among the plans for one product.
 *
 * @param siblings every plan of the organisation for the product, in the order of registration, the plan itself among them.
 * Pure. Source: measurement-model §10, rule 7.
 */
export function rivalsOf({ id, keys }: Pick<StoredPlan, 'id' | 'keys'>, siblings: readonly SiblingPlan[]): PlanRivals {
  const others = siblings.filter((plan) => plan.id !== id)
  const sameMachine = siblings.filter((plan) => plan.keys.vehicle === keys.vehicle && plan.status !== 'withdrawn')
  const place = sameMachine.findIndex((plan) => plan.id === id)
  return {
    unpublishedPlans: others.filter(
      (plan) => plan.keys.quantity === keys.quantity && plan.logged > 0 && !plan.isPublished,
    ).length,
    attempt: { number: Math.max(1, place + 1), of: Math.max(1, sameMachine.length) },
  }
}
