/** What became of the plan of a result, as a person reads it. Pure. */
import type { PlanReport } from '../contract/index.ts'
import type { Page } from './page.ts'

/** Adds what became of the plan of a result; nothing without one. */
export function sayPlanReport(page: Page, plan: PlanReport | undefined): void {
  if (plan === undefined) return
  page.section('The plan')
  page.say(plan.sentence, { first: '  ' })
  for (const { kept, sentence } of plan.rules) {
    const { good, bad } = page.look.signs
    page.say(sentence, { first: `  ${kept ? good : bad} `, tint: kept ? 'quiet' : 'bad' })
  }
}
