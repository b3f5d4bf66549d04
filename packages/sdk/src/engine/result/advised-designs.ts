import type { Protocol } from '../../contract/protocol.ts'
import type { AdvisedDesign } from '../../contract/sample-size.ts'
import type { Swap } from '../../contract/vehicle.ts'
import type { PlannedDesign, PlanningFigures } from '../statistics/planned-session.ts'
import { chanceOf, type DesignPower, designPower, type PlanningTarget, reaches } from '../statistics/sample-size.ts'

/** A design with what it can show and whether that is enough. */
export interface WeighedDesign extends DesignPower {
  /** How the runs are laid out. */
  readonly layout: AdvisedDesign['layout']
  /** Whether it reaches the target. */
  readonly isEnough: boolean
}

/** What designs are looked for. */
export interface DesignSearch {
  /** What is to be shown. */
  readonly target: PlanningTarget
  /** How well the facility repeats. */
  readonly figures: PlanningFigures
  /** How the change is made; null when nobody says, and then both ways are looked at. */
  readonly swap: Swap | null
  /** Fewest runs per side that the protocol asks for. [1] */
  readonly fewestPerSide: number
}

/** A swap of at most this many minutes is done while the machine stays strapped. [min] Common practice, no source. */
const QUICK_SWAP_MINUTES = 45

/** Runs of each side in one mounting: beyond these an engine gets hot. Common practice, no source. */
const MOST_RUNS_TAKING_TURNS = 6

/** Most mountings that the sides share, and most of one side. Common practice, no source. */
const MOST_SHARED_MOUNTINGS = 6
const MOST_MOUNTINGS = 12

/** Runs in each mounting where the machine is strapped down again within a side: more of them is the last advice. */
const RUNS_PER_STRAPPING = [1, 2, 3] as const

/** Whether a change can be made and unmade while the machine stays strapped down. */
export function isQuickSwap({ onRollers, reversible, minutes }: Swap): boolean {
  return onRollers && reversible && minutes <= QUICK_SWAP_MINUTES
}

/** Fewest runs per side that a protocol asks for; 1 where it does not ask. */
export function fewestPerSideOf({ checks }: Protocol): number {
  return checks.find(({ check }) => check === 'runs-enough')?.limits.perSide?.met ?? 1
}

/**
 * The designs that reach a target, in the order of the advice: where the swap takes minutes, one strapping-down in which
 * the sides take turns; else strapping down again within each side; more runs in each mounting last.
 *
 * @param search target, figures, swap and limit.
 * @returns designs that are enough; where none is, the closest of each layout. Empty where no design has an interval.
 *   Pure; never throws.
 *
 * Source: measurement-model §11. Tested: tests/engine/sample-size-advice.test.ts.
 */
export function advisedDesigns(search: DesignSearch): readonly WeighedDesign[] {
  const { swap } = search
  const layouts = [
    ...(swap === null || isQuickSwap(swap) ? [interleaved(search)] : []),
    ...(swap === null || !isQuickSwap(swap) ? [strappedAgain(search)] : []),
  ]
  const enough = layouts.flat().filter(({ isEnough }) => isEnough)
  return enough.length > 0 ? enough : layouts.flatMap((designs) => closest(designs, search.target))
}

/** The smallest design that is enough, else the closest. */
function interleaved(search: DesignSearch): readonly WeighedDesign[] {
  const designs = upTo(MOST_SHARED_MOUNTINGS)
    .flatMap((mountings) => upTo(MOST_RUNS_TAKING_TURNS).map((runs) => ({ mountings, runs, isMountingShared: true })))
    .toSorted((a, b) => a.mountings * a.runs - b.mountings * b.runs || a.mountings - b.mountings)
  return firstEnough(designs, search)
}

/** For each number of runs in a mounting the fewest mountings; more runs only where they save a mounting. */
function strappedAgain(search: DesignSearch): readonly WeighedDesign[] {
  const designs = RUNS_PER_STRAPPING.flatMap((runs) =>
    firstEnough(
      upTo(MOST_MOUNTINGS).map((mountings) => ({ mountings, runs, isMountingShared: false })),
      search,
    ),
  )
  return designs.filter(({ isEnough, mountings }, i) =>
    designs.slice(0, i).every((before) => !before.isEnough || !isEnough || mountings < before.mountings),
  )
}

function firstEnough(
  designs: readonly PlannedDesign[],
  { target, figures, fewestPerSide }: DesignSearch,
): readonly WeighedDesign[] {
  const seen: WeighedDesign[] = []
  for (const design of designs) {
    if (design.mountings * design.runs < fewestPerSide) continue
    const power = designPower(design, figures, chanceOf(target))
    if (power === null) continue
    const weighed: WeighedDesign = {
      ...power,
      layout: design.isMountingShared ? 'interleaved' : 'strapped-again',
      isEnough: reaches(power, target),
    }
    if (weighed.isEnough) return [weighed]
    seen.push(weighed)
  }
  return closest(seen, target)
}

function closest(designs: readonly WeighedDesign[], { kind }: PlanningTarget): readonly WeighedDesign[] {
  const measure = (design: DesignPower) => (kind === 'half-width' ? design.halfWidth : design.slack)
  return designs.toSorted((a, b) => measure(a) - measure(b)).slice(0, 1)
}

function upTo(most: number): readonly number[] {
  return Array.from({ length: most }, (_, i) => i + 1)
}

/** A design in a few words, as part of a sentence. */
export function designWords({ layout, mountings, runs }: WeighedDesign): string {
  if (layout === 'interleaved') {
    const where = mountings === 1 ? 'one mounting' : `each of ${mountings} mountings`
    return `${counted(runs, 'run')} of each side, taking turns in ${where},`
  }
  return `${counted(mountings, 'mounting')} of each side with ${counted(runs, 'measured run')} in each`
}

function counted(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`
}
