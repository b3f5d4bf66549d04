/** What became of the plan, where there was one. Pure. */
import type { Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { significant } from '../numbers.ts'
import { facts, section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

/** The section. */
export function planSection({ plan }: Result): Markup | null {
  if (plan === undefined) return null
  return section(
    'plan',
    words.sections.plan,
    markup`<p>${plan.sentence}</p>`,
    facts([
      [words.registration, words.registrationWord[plan.registration]],
      [words.planProduct, plan.product],
      [words.planId, markup`<span class="digest">${plan.id}</span>`],
      [words.planAttempt, words.attempt(plan.attempt.number, plan.attempt.of)],
      [words.planLevel, significant(plan.level, 2)],
    ]),
    markup`<ul class="plain findings">${plan.rules.map(
      ({ rule, kept, sentence }) =>
        markup`<li><span class="${kept ? 'good' : 'bad'}"><span aria-hidden="true">${kept ? '✓' : '✕'}</span> <strong>${rule}</strong>: ${words.ruleKept(kept)}.</span> ${sentence}</li>
`,
    )}</ul>`,
  )
}
