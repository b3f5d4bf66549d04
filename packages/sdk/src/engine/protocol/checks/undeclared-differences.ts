import type { Evidence } from '../../evidence/evidence.ts'
import { recordedMembers } from '../../evidence/recorded-members.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * The residue: everything recorded that varies between the sides, that nobody declared and no other check owns.
 *
 * Members are found by walking what was recorded of setup, vehicle, tyre, rollers, processing and channels; those that a
 * check of the same protocol compares are left to it. `met` when nothing is left over; `breached` when something is;
 * `not-evidenced` when the tune is not recorded, since a tune is what most often comes along unsaid.
 * Basis: common practice, no source.
 */
export const undeclaredDifferences: Check = {
  name: 'undeclared-differences',
  compares: 'everything recorded that varies between the sides and is neither declared nor owned by another check',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: (evidence, _, owned) => residueFinding(evidence, owned) ?? tuneRecorded(evidence),
}

function residueFinding({ session }: Evidence, owned: ReadonlySet<string>): Observation | null {
  const declared = new Set(
    (session.comparison.changes ?? []).flatMap(({ accountsFor }) => (accountsFor ?? []).map((name) => `setup/${name}`)),
  )
  const members = new Map(session.used.map((run) => [run, recordedMembers(run, session)]))
  const names = new Set([...members.values()].flatMap((map) => [...map.keys()]))
  const residue = [...names].toSorted().filter((name) => {
    if (owned.has(name) || declared.has(name)) return false
    const [baseline, modified] = [valuesOn('baseline', name, members), valuesOn('modified', name, members)]
    return baseline.length > 0 && modified.length > 0 && baseline.join('\n') !== modified.join('\n')
  })
  if (residue.length === 0) return null
  return observation('breached', {
    observed: residue.join(', '),
    limit: 'none',
    runs: session.used.map(({ id }) => id),
    sentence: `Differs between the sides and was not declared: ${residue.map((name) => name.replaceAll('/', ' ')).join(', ')}.`,
    remedy: 'Declare the difference as a change (with `accountsFor`), or measure again without it.',
  })
}

/** Every value of a member that a side recorded, each once, in the order of their texts. */
function valuesOn(
  side: SessionRun['side'],
  name: string,
  members: ReadonlyMap<SessionRun, ReadonlyMap<string, string>>,
): string[] {
  const seen = [...members].flatMap(([run, recorded]) => (run.side === side ? (recorded.get(name) ?? []) : []))
  return [...new Set(seen)].toSorted()
}

function tuneRecorded({ session }: Evidence): Observation {
  const silent = session.used.filter(({ setup }) => setup.tune === undefined)
  if (silent.length === 0) {
    return observation('met', { sentence: 'Nothing else that was recorded varies between the sides.' })
  }
  return notEvidenced({
    sentence: 'The ignition and fuelling tune is not recorded for every run.',
    remedy: 'Name the tune of every run, the unchanged one too.',
    runs: silent.map(({ id }) => id),
    evidence: 'from-records',
  })
}
