/** JSON text to a plan, strictly. */
import type { Plan } from '../contract/index.ts'
import { readPlan } from '../contract/read-plan.ts'
import { refusalOf, valueInJson } from './json-text.ts'

/**
 * The plan in a JSON text, frozen: an order that is to be drawn is drawn.
 *
 * @throws ImportError with every member that does not fit, its pointer and the code of the contract.
 */
export function readPlanText(source: string | Uint8Array): Plan {
  const read = readPlan(valueInJson(source, 'ERR_PLAN_NOT_JSON'))
  if (read.ok) return read.plan
  throw refusalOf(read.problems)
}
