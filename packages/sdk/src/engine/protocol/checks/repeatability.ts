import { type Check, graded, limitOf, notEvidenced } from '../check.ts'

/**
 * Run-to-run scatter within a mounting: pooled relative standard deviation of the headline figure. [%]
 *
 * `met` up to `limits.withinMounting.met`, `marginal` up to `.marginal`, `breached` above; `not-evidenced` where no mounting
 * holds two runs of one side.
 * Basis: Directive 80/1269/EEC, two readings within 2 %; the inner limit is common practice, no source.
 */
export const repeatability: Check = {
  name: 'repeatability',
  compares: 'within-mounting relative standard deviation of the headline figure',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: ({ session, headline }, rule) => {
    if (headline === null || headline.withinRelativeSd_1 === null) {
      return notEvidenced({
        sentence: 'No mounting holds two usable runs of one side, so repeatability cannot be seen.',
        remedy: 'Make two or more measured runs of each side within a mounting.',
        runs: session.used.map(({ id }) => id),
        evidence: 'repeat',
      })
    }
    const observed = 100 * headline.withinRelativeSd_1
    const [baseline, modified] = headline.sideScatter.sds
    const bySide =
      baseline === null || modified === null
        ? ''
        : `; baseline ${(100 * baseline).toFixed(2)} %, modified ${(100 * modified).toFixed(2)} %`
    return graded({
      observed,
      limit: limitOf(rule, 'withinMounting'),
      sentence: `Runs of one side in one mounting scatter by ${observed.toFixed(2)} % (standard deviation of ${headline.name}${bySide}).`,
      remedy: 'Find out what moves from run to run (heat, slip, fuelling, start of the sweep) before measuring on.',
      runs: session.used.map(({ id }) => id),
    })
  },
}
