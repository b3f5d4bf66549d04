import type { RunChannels } from '../inputs/channels.ts'
import type { SweepSection } from '../inputs/sweep-section.ts'

/** A peak this much later is no lag of a channel but another event. [s] Common practice, no source. */
const LONGEST_LAG_S = 1

/** Fewest samples after the sweep that show a peak to be one. */
const FEWEST_AFTER = 3

/**
 * By how much the roller speed lags the engine speed: time from the highest engine speed to the highest roller speed.
 *
 * Both peak at the moment the throttle shuts, since the drive is stiff, so a difference is a delay of one channel.
 *
 * @param channels the recording.
 * @param section where its sweep lies.
 * @returns the lag; positive when the rollers come later. [s], to one sample. Null without time or roller speed, where the
 *   recording ends with the sweep, or where the peaks lie too far apart to be one event. Pure; never throws.
 *
 * Assumes: a fixed gear, a closed clutch until the throttle shuts. Tested: tests/engine/evidence/trace.test.ts.
 */
export function rollerLag_s({ time_s, rollerSpeed_m_per_s }: RunChannels, section: SweepSection): number | null {
  if (time_s === null || rollerSpeed_m_per_s === null || section.after < FEWEST_AFTER) return null
  const start = section.samples[0] ?? 0
  let peak = start
  for (let i = start; i < rollerSpeed_m_per_s.length; i++) {
    if ((rollerSpeed_m_per_s[i] ?? 0) > (rollerSpeed_m_per_s[peak] ?? 0)) peak = i
  }
  if (peak >= rollerSpeed_m_per_s.length - 1) return null
  const lag_s = (time_s[peak] ?? Number.NaN) - (time_s[section.end - 1] ?? Number.NaN)
  return Math.abs(lag_s) <= LONGEST_LAG_S ? lag_s : null
}
