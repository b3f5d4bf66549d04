import type { Protocol } from '../../contract/protocol.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { type PeakQuantity, printedAllowance } from '../evidence/printed-figures.ts'
import { isHearsay } from '../inputs/hearsay.ts'
import type { Session } from '../inputs/session.ts'
import type { Allowance } from '../statistics/allowance.ts'
import {
  type FacilityFigures,
  type FillableGroup,
  fillRecord,
  NOTHING_DECLARED,
  WHERE_SILENT,
} from '../statistics/facility-record.ts'
import type { SessionInput } from '../statistics/session-input.ts'

/** The session analysed with values that nobody measured at this facility. */
export interface ConditionalInput {
  /** Which values stand in. */
  readonly on: 'typical' | 'cautious' | 'network'
  /** Groups that were filled. */
  readonly filled: readonly FillableGroup[]
  /** The shared input with the filled record. */
  readonly input: SessionInput
  /** Room for what printed figures of a quantity leave open: the best of several runs, and half a digit. */
  readonly allowanceOf: AllowanceOf
}

/** Room on either side of the printed peaks of a quantity. */
export type AllowanceOf = (quantity: PeakQuantity) => Allowance

/**
 * Room that the plain analysis leaves beside the scatter of printed figures: the lead of the best of several runs, at the
 * facility's own repeatability or else the protocol's cautious one, and half a printed digit.
 *
 * The printed figures cannot tell that scatter themselves: those of best runs scatter less than the runs they were taken from.
 *
 * @param evidence the evidence.
 * @param protocol for the cautious value.
 * @returns the room by quantity; none where the runs were recorded. Pure; never throws. Source: measurement-model §1.
 */
export function plainAllowance({ session, record }: Evidence, protocol: Protocol): AllowanceOf {
  const repeatRelSd = record?.repeatRelSd ?? protocol.assumed.cautious.repeatability
  return (quantity) => printedAllowance(session, quantity, repeatRelSd)
}

/** Local noise reaches so far where nobody recorded it. [rpm] Source: measurement-model §1. */
const CORRELATION_RPM = 200

/** Names of the filled groups as a reader knows them. */
export const GROUP_NAMES: Readonly<Record<FillableGroup, string>> = {
  repeat: 'repeatability',
  mount: 're-mounting',
  day: 'day',
}

/**
 * The session with the absent groups of its record filled: from the network where the record carries such values, else from
 * the protocol, `cautious` where a run was only reported or read from a chart, `typical` otherwise. Never both.
 *
 * @param evidence the evidence.
 * @param protocol for the assumed values.
 * @returns the input of the conditional analysis. Pure; never throws. Source: measurement-model §1.
 */
export function conditionalInput({ input, session, recordReading }: Evidence, protocol: Protocol): ConditionalInput {
  const record = input.record ?? NOTHING_DECLARED
  if (Object.keys(recordReading.network).length > 0) {
    const { record: filledRecord, filled } = fillRecord(record, recordReading.network, 'network')
    return { on: 'network', filled, ...withRecord(input, session, filledRecord) }
  }
  const on = session.used.some(isHearsay) ? 'cautious' : 'typical'
  const assumed = protocol.assumed[on]
  const { record: filledRecord, filled } = fillRecord(
    record,
    {
      repeatRelSd: assumed.repeatability,
      localRelSd: assumed.localNoise,
      localCorrelation_rpm: CORRELATION_RPM,
      mountRelSd: assumed.remounting,
      dayRelSd: assumed.day,
    },
    'assumed',
  )
  return { on, filled, ...withRecord(input, session, filledRecord) }
}

function withRecord(input: SessionInput, session: Session, record: FacilityFigures) {
  const repeatRelSd = record.repeatRelSd ?? WHERE_SILENT.repeatRelSd
  const allowanceOf: AllowanceOf = (quantity) => printedAllowance(session, quantity, repeatRelSd)
  return { input: { ...input, record }, allowanceOf }
}
