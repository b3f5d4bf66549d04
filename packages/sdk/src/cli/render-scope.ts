/** The limits within which a comparison holds, as a person reads them. Pure. */
import type { Finding } from '../contract/index.ts'
import type { Page } from './page.ts'
import { counted } from './text.ts'

/** Limits that are printed one by one; of more, those for want of a record are named in one paragraph. */
const MOST_SENTENCES = 6

/**
 * Adds the limits, each sentence where they are few or all are asked for. A published pair of figures lacks nearly every record;
 * there the checks that nothing was recorded for are named together, so that the number is not buried.
 */
export function sayScope(
  page: Page,
  scope: readonly string[],
  {
    findings,
    indent,
    full,
  }: { readonly findings: readonly Finding[]; readonly indent: string; readonly full: boolean },
): void {
  const first = `${indent}${page.look.signs.bullet} `
  const unrecorded =
    full || scope.length <= MOST_SENTENCES ? [] : findings.filter((each) => scope.includes(limitOf(each)))
  const together = new Set(unrecorded.map(limitOf))
  for (const sentence of scope) if (!together.has(sentence)) page.say(sentence, { first })
  if (unrecorded.length === 0) return
  const names = unrecorded.map(({ check }) => check).join(', ')
  page.say(`Not shown, for want of records (${counted(unrecorded.length, 'check')}): ${names}.`, {
    first,
  })
}

/** The sentence by which the scope of a result tells of a check without evidence. */
function limitOf({ check, sentence }: Finding): string {
  return `Not shown: ${sentence} (${check})`
}
