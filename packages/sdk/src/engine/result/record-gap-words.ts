import type { RecordScope } from '../../contract/facility.ts'
import { listed } from '../claims/claim-words.ts'
import type { RecordGap } from '../inputs/record-scope.ts'

/** How a part of the scope is called, and where a comparison states it. */
const PARTS: Readonly<Record<keyof RecordScope, { readonly name: string; readonly member: string }>> = {
  machine: { name: 'machine', member: '`label` of the vehicle' },
  strapping: { name: 'strapping method', member: '`strapping` of every mounting' },
  class: { name: 'class', member: '`class` of the vehicle' },
}

/**
 * Why what a facility record calls measured counts as declared in a session, and what to do about it.
 *
 * @param gaps at least one. Pure; never throws.
 */
export function recordGapsSentence(gaps: readonly RecordGap[]): string {
  const remedies = [...new Set(gaps.map(remedyOf))]
  return `What the facility record calls measured counts as declared here: ${gaps.map(reasonOf).join('; ')}. ${remedies.join(' ')}`
}

function reasonOf(gap: RecordGap): string {
  switch (gap.kind) {
    case 'record is silent':
      return gap.of === 'date'
        ? 'the record has no date'
        : 'the record does not name the machine, strapping method and class it applies to'
    case 'session is undated':
      return 'nothing tells the day of the runs'
    case 'too old':
      return `the record is of ${gap.on}, and the first run, of ${gap.firstDay}, is more than 12 months younger`
    case 'session is silent':
      return `the record applies to the ${PARTS[gap.part].name} “${gap.recorded}”, and the ${PARTS[gap.part].name} of these runs is not stated`
    case 'other scope':
      return `the record applies to the ${PARTS[gap.part].name} “${gap.recorded}”, and these runs state ${listed(gap.here.map((text) => `“${text}”`))}`
  }
}

function remedyOf(gap: RecordGap): string {
  switch (gap.kind) {
    case 'record is silent':
      return gap.of === 'date' ? 'Date the record (`on`).' : 'Name them in the record (`appliesTo`).'
    case 'session is undated':
      return 'Write down when each run was started, or when the machine was strapped down.'
    case 'session is silent':
      return `State ${PARTS[gap.part].member}, in the words of the record where it is the same.`
    case 'too old':
    case 'other scope':
      return 'Use a record of this machine, strapping method and class, not older than 12 months; a study gives one.'
  }
}
