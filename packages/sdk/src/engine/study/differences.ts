import type { StudyDifference } from '../../contract/study.ts'
import { recordedMembers } from '../evidence/recorded-members.ts'
import type { Session } from '../inputs/session.ts'

/**
 * Everything recorded that is not alike on every run: found by walking what was written down, not from a list of suspects.
 *
 * @param session the runs of the study.
 * @returns members in the order of their names; those that a run did not record are not held against it. Pure; never throws.
 */
export function studyDifferences(session: Session): readonly StudyDifference[] {
  const recorded = session.used.map((run) => ({ mounting: run.mounting, members: recordedMembers(run, session) }))
  const names = new Set(recorded.flatMap(({ members }) => [...members.keys()]))
  return [...names].toSorted().flatMap((member) => {
    const values = new Map<string, Set<string>>()
    for (const { mounting, members } of recorded) {
      const value = members.get(member)
      if (value !== undefined) values.set(mounting, (values.get(mounting) ?? new Set()).add(value))
    }
    const distinct = new Set([...values.values()].flatMap((own) => [...own]))
    const isWithinMounting = [...values.values()].some(({ size }) => size > 1)
    return distinct.size < 2 ? [] : [{ member, values: distinct.size, isWithinMounting }]
  })
}
