/** Claims, plans and names that are chosen once the runs are seen. */
import { LEAST_GAIN } from '../../calibration/cheating/null-product.ts'
import { atSpeedClaim, peakClaim } from '../../calibration/claims.ts'
import { childSeed } from '../../calibration/study.ts'
import { BANDS, bandClaims, best, issued, type RegisterStrategy } from './attempt.ts'
import { endingOf, plannedSession, played, registerPlan, sendAll, type Vendor } from './vendor.ts'

/** One band is registered, all are claimed. */
export const bandShopping: RegisterStrategy = {
  id: `band shopping, ${BANDS.length} bands`,
  does: `registers one band, looks at ${BANDS.length} afterwards and claims every one of them`,
  stoppedBy: 'only registered claims are judged; others are exploratory',
  beside: `band shopping, ${BANDS.length} bands`,
  play: (vendor) =>
    played(vendor, {
      comparison: issued(vendor, plannedSession(vendor.seed)),
      exploratory: bandClaims,
    }),
}

/** One metric is registered, all are claimed. */
export const metricShopping: RegisterStrategy = {
  id: 'metric shopping',
  does: 'registers a band mean, and claims peak power, peak torque and eight engine speeds afterwards',
  stoppedBy: 'only registered claims are judged; others are exploratory',
  beside: 'metric shopping',
  play: (vendor) =>
    played(vendor, {
      comparison: issued(vendor, plannedSession(vendor.seed)),
      exploratory: [
        peakClaim('peak', LEAST_GAIN),
        { ...peakClaim('torque', { value: 0.01, unit: 'N m' }), quantity: 'wheel-torque' },
        ...[4000, 5000, 6000, 7000, 8000, 9000, 10_000, 10_500].map((speed) =>
          atSpeedClaim(`at ${speed}`, LEAST_GAIN, speed),
        ),
      ],
    }),
}

const FARMED = 5

const farmed = (vendor: Vendor, k: number) =>
  issued(vendor, plannedSession(childSeed(vendor.seed, `plan ${k}`)), `farm ${k}`)

/** Several plans at once. */
export const planFarming: RegisterStrategy = {
  id: `best of ${FARMED} plans`,
  does: `registers ${FARMED} plans for one product, runs all, has all assessed, publishes the best`,
  stoppedBy: 'alpha divided by the plans that were run and not published',
  beside: `best of ${FARMED} plans`,
  play: async (vendor) => {
    const comparisons = Array.from({ length: FARMED }, (_, k) => farmed(vendor, k))
    const plans = []
    for (const comparison of comparisons) plans.push(await registerPlan(vendor, { comparison }))
    for (const [k, plan] of plans.entries()) await sendAll(vendor, plan, comparisons[k] ?? fail())
    return best(plans.map((plan) => () => endingOf(vendor, plan)))
  },
}

/** Several plans in turn. */
export const planAfterPlan: RegisterStrategy = {
  id: `up to ${FARMED} plans, one after another`,
  does: `registers a plan, has it assessed, and registers the next one for the same product until one is supported, at most ${FARMED}`,
  stoppedBy: null,
  beside: `best of ${FARMED} plans`,
  play: (vendor) =>
    best(Array.from({ length: FARMED }, (_, k) => () => played(vendor, { comparison: farmed(vendor, k) }))),
}

const NAMES = 5

/** Several names. */
export const aliases: RegisterStrategy = {
  id: `${NAMES} product names`,
  does: `registers one product under ${NAMES} names and publishes the best`,
  stoppedBy: null,
  beside: `${NAMES} product names`,
  play: (vendor) =>
    best(
      Array.from({ length: NAMES }, (_, k) => () => {
        const comparison = issued(vendor, plannedSession(childSeed(vendor.seed, `name ${k}`)), `name ${k}`)
        return played({ ...vendor, product: `${vendor.product}, name ${k}` }, { comparison })
      }),
    ),
}

function fail(): never {
  throw new TypeError('there is a comparison for every plan')
}
