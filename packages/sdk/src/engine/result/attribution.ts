import type { Protocol } from '../../contract/protocol.ts'
import type { Attribution, Finding } from '../../contract/result.ts'
import type { Session } from '../inputs/session.ts'

/**
 * Which changes the gain belongs to: those under test, and everything else that differed, declared or found.
 *
 * @param session the session.
 * @param findings all findings.
 * @param protocol says which breach shares the gain with what.
 * @returns the attribution. Pure; never throws.
 */
export function attributionOf(session: Session, findings: readonly Finding[], protocol: Protocol): Attribution {
  const changes = session.comparison.changes ?? []
  const underTest = changes.filter(({ role }) => role === 'under-test').map(({ what }) => what)
  const declared = changes.filter(({ role }) => role === 'other').map(({ what }) => what)
  const breached = findings.filter(({ status }) => status === 'breached')
  const sharers = new Map(protocol.checks.map(({ check, sharesGain }) => [check, sharesGain]))
  const found = breached.flatMap(({ check }) => sharers.get(check) ?? [])
  const residue = breached.flatMap(({ check, observed }) =>
    check === 'undeclared-differences' ? String(observed) : [],
  )
  const alsoChanged = [...declared, ...found, ...residue]
  return { underTest, alsoChanged, sentence: sentenceOf(underTest, alsoChanged) }
}

function sentenceOf(underTest: readonly string[], alsoChanged: readonly string[]): string {
  if (underTest.length === 0 && alsoChanged.length === 0)
    return 'No change is declared, so the gain belongs to nothing named.'
  const all = [...underTest, ...alsoChanged]
  if (alsoChanged.length === 0) {
    return underTest.length === 1
      ? `The gain belongs to: ${all.join(', ')}.`
      : `The gain belongs to these changes together: ${all.join(', ')}.`
  }
  return `The gain belongs to all of these together, not to one of them: ${all.join(', ')}.`
}
