/** The columns of a run. One check reads a whole column: no schema per sample. */
import * as z from 'zod/mini'
import { decodeChannelValues } from './channel-values.ts'
import { printed, sentence } from './field-problem.ts'
import { documentedBy, MAX_NUMBER, named, positive } from './schema-parts.ts'
import { units } from './units.ts'

/** Most samples of one channel. */
export const MAX_SAMPLES = 200_000

/** Length of the base64 text of `MAX_SAMPLES` float64. */
export const MAX_BASE64 = Math.ceil((MAX_SAMPLES * 8) / 3) * 4

type ChannelIssue = { readonly code: string; readonly detail: string; readonly path: (string | number)[] }

/** The values as a JSON array: numbers below 2^53 in magnitude, no negative zero. */
export const channelNumbers = z.custom<readonly number[]>().check((payload) => {
  const issue = firstIssue(payload.value)
  if (issue === undefined) return
  const { code, detail, path } = issue
  payload.issues.push({ code: 'custom', input: payload.value, path, params: { code, detail } })
})

/** The values as base64 of little-endian float64. */
export const channelBase64 = z.string().check(
  z.maxLength(MAX_BASE64),
  z.check((payload) => {
    if (payload.value.length > MAX_BASE64) return
    const outcome = decodeChannelValues(payload.value)
    const problem = outcome.ok ? shortage(outcome.values.length) : outcome.problem
    if (problem === undefined) return
    const { code, detail } = problem
    const remedy = code === 'ERR_CHANNEL_NOT_FINITE' ? ' Leave the sample out of all channels.' : ''
    const params = { code, detail: `${sentence(detail)}${remedy}` }
    payload.issues.push({ code: 'custom', input: payload.value, params })
  }),
)

function firstIssue(value: unknown): ChannelIssue | undefined {
  if (!Array.isArray(value)) {
    const detail = `Found ${printed(value)}; the values are a list of numbers, or base64 text in a member \`base64\`.`
    return { code: 'ERR_WRONG_TYPE', detail, path: [] }
  }
  const wrongLength = shortage(value.length)
  if (wrongLength !== undefined) return { ...wrongLength, path: [] }
  for (let index = 0; index < value.length; index += 1) {
    const sample: unknown = value[index]
    const isOrdinary =
      typeof sample === 'number' && sample <= MAX_NUMBER && sample >= -MAX_NUMBER && (sample !== 0 || 1 / sample > 0)
    if (!isOrdinary) return { ...sampleIssue(sample), path: [index] }
  }
  return undefined
}

function shortage(samples: number): { readonly code: string; readonly detail: string } | undefined {
  if (samples === 0) return { code: 'ERR_TOO_FEW', detail: 'The channel has no values; leave the channel out.' }
  if (samples <= MAX_SAMPLES) return undefined
  const detail = `The channel has ${samples} values; at most ${MAX_SAMPLES} are read. Export the run at a lower rate.`
  return { code: 'ERR_TOO_MANY', detail }
}

function sampleIssue(sample: unknown): { readonly code: string; readonly detail: string } {
  if (typeof sample !== 'number') {
    const detail = `Found ${printed(sample)}; every value is a number. Leave a sample that a sensor missed out of all channels.`
    return { code: 'ERR_WRONG_TYPE', detail }
  }
  if (!Number.isFinite(sample)) {
    const detail = `${sample} is not a finite number. Leave the sample out of all channels.`
    return { code: 'ERR_CHANNEL_NOT_FINITE', detail }
  }
  if (sample === 0) return { code: 'ERR_CHANNEL_NEGATIVE_ZERO', detail: 'Found -0, a negative zero; write 0.' }
  return { code: 'ERR_CHANNEL_TOO_LARGE', detail: `${sample} is 2^53 or more in magnitude; use a larger unit.` }
}

function channel<const U extends readonly string[]>(id: string, kindUnits: U) {
  const unit = z.enum(kindUnits)
  const asList = z.strictObject({ unit, values: channelNumbers, base64: z.exactOptional(z.never()) })
  const asText = z.strictObject({ unit, base64: channelBase64, values: z.exactOptional(z.never()) })
  return named(id, z.union([documentedBy('Channel', asList), documentedBy('Channel', asText)]), 'Channel')
}

const mixtureMembers = {
  unit: z.literal('1'),
  as: z.enum(['lambda', 'afr']),
  stoichiometric: z.exactOptional(positive),
  probe: z.enum(['bung', 'tailpipe']),
}

/** Mixture over the sweep. */
export const mixtureChannelSchema = named(
  'MixtureChannel',
  z.union([
    documentedBy(
      'MixtureChannel',
      z.strictObject({ ...mixtureMembers, values: channelNumbers, base64: z.exactOptional(z.never()) }),
    ),
    documentedBy(
      'MixtureChannel',
      z.strictObject({ ...mixtureMembers, base64: channelBase64, values: z.exactOptional(z.never()) }),
    ),
  ]),
)

const timeChannel = channel('TimeChannel', units.time)
const rotationalSpeedChannel = channel('RotationalSpeedChannel', units.rotationalSpeed)
const powerChannel = channel('PowerChannel', units.power)
const torqueChannel = channel('TorqueChannel', units.torque)
const speedChannel = channel('SpeedChannel', units.speed)
const ratioChannel = channel('RatioChannel', units.ratio)

/** Recorded columns. */
export const channelsSchema = named(
  'Channels',
  z.strictObject({
    time: z.exactOptional(timeChannel),
    engineSpeed: z.exactOptional(rotationalSpeedChannel),
    wheelPower: z.exactOptional(powerChannel),
    torque: z.exactOptional(torqueChannel),
    axleTorque: z.exactOptional(torqueChannel),
    rollerSpeed: z.exactOptional(speedChannel),
    mixture: z.exactOptional(mixtureChannelSchema),
    throttle: z.exactOptional(ratioChannel),
  }),
)
