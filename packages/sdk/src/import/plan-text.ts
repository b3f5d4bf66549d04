/** JSON text to a plan, strictly. */
import type { Plan } from '../contract/index.ts'
import { readPlan } from '../contract/read-plan.ts'
import { parseStrictJson } from '../integrity/strict-json.ts'
import { ImportError, problemOf } from './import-error.ts'

/**
 * The plan in a JSON text, frozen: an order that is to be drawn is drawn.
 *
 * @throws ImportError with every member that does not fit, its pointer and the code of the contract.
 */
export function readPlanText(source: string | Uint8Array): Plan {
  const json = parseStrictJson(source)
  if (!json.ok) {
    const { detail, pointer } = json.problem
    const fix = 'Correct the JSON; an editor with JSON support shows the place.'
    throw new ImportError(
      problemOf({ code: 'ERR_PLAN_NOT_JSON', pointer: pointer === '' ? null : pointer, detail: `${detail}.`, fix }),
    )
  }
  const read = readPlan(json.value)
  if (read.ok) return read.plan
  const [first, ...others] = read.problems.map(({ code, pointer, detail }) =>
    problemOf({ code, pointer, detail, fix: '' }),
  )
  if (first === undefined) throw new TypeError('a refusal without a problem')
  throw new ImportError(first, ...others)
}
