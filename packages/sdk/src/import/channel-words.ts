/** Words by which headers name their column, in the languages exports are written in. Pure. */
import type { ChannelName } from './column-mapping.ts'

/** Words of a channel; the longest word found in a header decides. All in lower case without accents. */
const words: Readonly<Record<ChannelName, readonly string[]>> = {
  time: ['time', 'zeit', 'temps', 'tempo', 'tiempo', 'tijd', 'elapsed'],
  engineSpeed: [
    'rpm',
    'engine speed',
    'engine rpm',
    'crank speed',
    'revs',
    'revolutions',
    'drehzahl',
    'motordrehzahl',
    'toerental',
    'regime',
    'giri',
    'revoluciones',
  ],
  wheelPower: ['power', 'pwr', 'leistung', 'puissance', 'potenza', 'potencia', 'vermogen'],
  torque: ['torque', 'trq', 'drehmoment', 'moment', 'couple', 'coppia', 'koppel'],
  axleTorque: ['axle torque', 'wheel torque', 'tractive torque', 'radmoment', 'raddrehmoment'],
  rollerSpeed: [
    'roller speed',
    'drum speed',
    'road speed',
    'wheel speed',
    'vehicle speed',
    'speed',
    'geschwindigkeit',
    'rollengeschwindigkeit',
    'vitesse',
    'velocita',
    'velocidad',
    'snelheid',
  ],
  mixture: ['lambda', 'afr', 'air fuel', 'a/f', 'mixture'],
  throttle: ['throttle', 'tps', 'drosselklappe', 'drossel', 'papillon', 'farfalla', 'acelerador', 'pedal'],
}

/** Letters that stand for a channel only where they are the whole header. */
const letters: Readonly<Record<string, ChannelName>> = {
  t: 'time',
  n: 'engineSpeed',
  p: 'wheelPower',
  m: 'torque',
  tq: 'torque',
  v: 'rollerSpeed',
}

/** What a header says of its column. */
export interface HeaderSense {
  /** Channel its words name; undefined where they name none. */
  readonly channel: ChannelName | undefined
  /** Whether it says that the air correction is in the figures. */
  readonly isCorrected: boolean
  /** Whether it says that the figures are as measured. */
  readonly isUncorrected: boolean
  /** Whether it says that the figures are referred to the crankshaft. */
  readonly isAtCrankshaft: boolean
  /** Whether it says that the figures are those of another thing: a loss, a limit, a set value. */
  readonly isOther: boolean
}

const UNCORRECTED = /\b(?:un-?corr\w*|raw|observed|measured|gemessen|unkorr\w*|mesur\w*|roh)\b/
const CORRECTED = /\b(?:corr\w*|korr\w*|norm\w*|std|sae|din|ece|eec|iso|j1349|j607)\b/
const CRANKSHAFT = /\b(?:crank\w*|flywheel|engine power|engine torque|motorleistung|motormoment|kurbel\w*|moteur|bhp)\b/
const OTHER =
  /\b(?:loss\w*|drag|verlust\w*|schlepp\w*|perte\w*|perdite|target|soll\w*|limit|max|min|peak|slip|schlupf)\b/

/**
 * What the words of a header say.
 *
 * @param name header without its unit.
 */
export function headerSense(name: string): HeaderSense {
  const text = plain(name)
  const isUncorrected = UNCORRECTED.test(text)
  return {
    channel: channelNamed(text),
    isUncorrected,
    isCorrected: !isUncorrected && CORRECTED.test(text),
    isAtCrankshaft: CRANKSHAFT.test(text),
    isOther: OTHER.test(text),
  }
}

function channelNamed(text: string): ChannelName | undefined {
  if (Object.hasOwn(letters, text)) return letters[text]
  let best: { readonly channel: ChannelName; readonly length: number } | undefined
  for (const [channel, each] of Object.entries(words) as [ChannelName, readonly string[]][]) {
    for (const word of each) {
      if (word.length > (best?.length ?? 0) && text.includes(word)) best = { channel, length: word.length }
    }
  }
  return best?.channel
}

/** `Motor-Drehzahl_1` and `motor drehzahl 1` are one. */
function plain(text: string): string {
  return text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replaceAll('λ', 'lambda')
    .toLowerCase()
    .replace(/[_.\-\s]+/g, ' ')
    .trim()
}
