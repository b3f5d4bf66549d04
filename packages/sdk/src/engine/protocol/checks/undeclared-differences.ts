import type { Setup } from '../../../contract/mounting.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * The residue: everything recorded that varies between the sides, that nobody declared and no other check owns.
 *
 * Members are found by walking what was recorded, not from a list of suspects. `met` when nothing is left over; `breached`
 * when something is; `not-evidenced` when the tune is not recorded, since a tune is what most often comes along unsaid.
 * Basis: common practice, no source.
 */
export const undeclaredDifferences: Check = {
  name: 'undeclared-differences',
  compares: 'everything recorded that varies between the sides and is neither declared nor owned by another check',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: (evidence) => residueFinding(evidence) ?? tuneRecorded(evidence),
}

/** Members that a check of their own compares. */
const OWNED: ReadonlySet<string> = new Set([
  'setup/vehicle',
  'setup/rollers',
  'setup/driveTyre',
  'setup/gear',
  'setup/tyrePressure',
  'setup/fan',
  'setup/extraction',
  'setup/riderAboard',
  'setup/ballast',
  'setup/mode',
  'setup/fuel',
  'setup/sweep',
  'processing/measuredAt',
  'processing/correction',
  'processing/factor',
  'processing/smoothing',
])

function residueFinding({ session }: Evidence): Observation | null {
  const declared = new Set((session.comparison.changes ?? []).flatMap(({ accountsFor }) => accountsFor ?? []))
  const members = new Map(session.used.map((run) => [run, membersOf(run)]))
  const names = new Set([...members.values()].flatMap((map) => [...map.keys()]))
  const residue = [...names].toSorted().filter((name) => {
    const setupMember = name.startsWith('setup/') ? name.slice('setup/'.length) : null
    if (OWNED.has(name) || (setupMember !== null && declared.has(setupMember as keyof Setup))) return false
    const seen = (side: SessionRun['side']) =>
      [
        ...new Set(session.used.filter((run) => run.side === side).flatMap((run) => members.get(run)?.get(name) ?? [])),
      ].toSorted()
    const [baseline, modified] = [seen('baseline'), seen('modified')]
    return baseline.length > 0 && modified.length > 0 && baseline.join('\n') !== modified.join('\n')
  })
  if (residue.length === 0) return null
  return observation('breached', {
    observed: residue.join(', '),
    limit: 'none',
    runs: session.used.map(({ id }) => id),
    sentence: `Differs between the sides and was not declared: ${residue.map((name) => name.replace('/', ' ')).join(', ')}.`,
    remedy: 'Declare the difference as a change (with `accountsFor`), or measure again without it.',
  })
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

/** What was recorded of a run, flat: member name to its JSON text. */
function membersOf(run: SessionRun): ReadonlyMap<string, string> {
  const entries = [
    ...Object.entries(run.setup).map(([name, value]) => [`setup/${name}`, JSON.stringify(value)] as const),
    ...Object.entries(run.processing).map(([name, value]) => [`processing/${name}`, JSON.stringify(value)] as const),
    ...(run.wire.origin === undefined ? [] : [['origin of the figures', run.wire.origin] as const]),
  ]
  return new Map(entries)
}
