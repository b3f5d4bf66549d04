/** The ways to cheat, each with whatever the vendor can still do once the register stands in the way. */
import { issued, type RegisterStrategy } from './attempt.ts'
import { allAtOnce, coldThenWarm, forgedBaseline, oldBaseline, understated } from './bending-the-session.ts'
import { aliases, bandShopping, metricShopping, planAfterPlan, planFarming } from './choosing-plans.ts'
import { abortedAndCounted, abortedPulls, copies, pickingRuns, stopping } from './choosing-runs.ts'
import { plannedSession, played } from './vendor.ts'

const honest = (runs: number): RegisterStrategy => ({
  id: `honest, ${runs} a side`,
  does: `registers ${runs} run${runs === 1 ? '' : 's'} a side, makes them and hands in all`,
  stoppedBy: 'nothing to stop',
  beside: `honest, ${runs} a side`,
  play: (vendor) => played(vendor, { comparison: issued(vendor, plannedSession(vendor.seed, { runsPerBlock: runs })) }),
})

/** All strategies, those that a plan stops first. */
export const registerStrategies: readonly RegisterStrategy[] = [
  honest(3),
  honest(1),
  pickingRuns(
    'best 3 of 8',
    'registers 3 runs a side, makes 8, and hands in the 3 lowest before and the 3 highest after',
    8,
  ),
  pickingRuns('trimming 2 of 5', 'registers 3 runs a side, makes 5, and drops the 2 that suit least', 5),
  stopping,
  bandShopping,
  metricShopping,
  planFarming,
  copies,
  oldBaseline,
  coldThenWarm,
  understated,
  allAtOnce,
  abortedPulls,
  abortedAndCounted,
  forgedBaseline,
  planAfterPlan,
  aliases,
]
