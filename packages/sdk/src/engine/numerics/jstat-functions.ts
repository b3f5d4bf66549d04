/// <reference path="./jstat.d.ts" />
/** The functions taken from jstat, under names of our own: first guesses that our own tails then polish. */
import jstat from 'jstat'

interface JStat {
  readonly normal: { readonly inv: (p: number, mean: number, sd: number) => number }
  readonly chisquare: { readonly inv: (p: number, dof: number) => number }
}

const { jStat } = jstat as { readonly jStat: JStat }

/** First guess at a standard normal quantile. [1], p in 0 to 1 */
export function normalQuantileGuess(p: number): number {
  return jStat.normal.inv(p, 0, 1)
}

/** First guess at a chi-square quantile. [1], p in 0 to 1 */
export function chiSquareQuantileGuess(p: number, dof: number): number {
  return jStat.chisquare.inv(p, dof)
}
