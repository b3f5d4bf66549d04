/** The parts of a comparison that can be looked at, each with its place. */
import type { Claim } from './claim.ts'
import type { Exclusion } from './comparison.ts'
import type { Rollers } from './facility.ts'
import { type MemberPath, pointerTo } from './field-problem.ts'
import type { Mounting } from './mounting.ts'
import type { Run } from './run.ts'
import { valueAt } from './schema-walk.ts'
import type { DriveTyre, Vehicle } from './vehicle.ts'

/** A part and the JSON Pointer to it. */
export interface Located<T> {
  /** The part; its shape is right. */
  readonly item: T
  /** JSON Pointer from the top of the document. */
  readonly pointer: string
}

/** The parts of right shape; a part of wrong shape is left out. */
export interface DocumentParts {
  /** Runs. */
  readonly runs: readonly Located<Run>[]
  /** Strappings-down. */
  readonly mountings: readonly Located<Mounting>[]
  /** Machines. */
  readonly vehicles: readonly Located<Vehicle>[]
  /** Roller sets. */
  readonly rollers: readonly Located<Rollers>[]
  /** Tyres. */
  readonly driveTyres: readonly Located<DriveTyre>[]
  /** Claims. */
  readonly claims: readonly Located<Claim>[]
  /** Exclusions. */
  readonly excluded: readonly Located<Exclusion>[]
  /** Lists, as JSON Pointers, of which not every element could be looked at. */
  readonly incomplete: ReadonlySet<string>
}

/** The lists of a document that are looked at. */
const lists = {
  runs: ['runs'],
  mountings: ['mountings'],
  vehicles: ['vehicles'],
  rollers: ['facility', 'rollers'],
  driveTyres: ['driveTyres'],
  claims: ['claims'],
  excluded: ['excluded'],
} as const satisfies Readonly<Record<string, MemberPath>>

/**
 * The parts of a document whose shape is right.
 *
 * @param value the document
 * @param refused every place whose shape is wrong. Pure.
 */
export function documentParts(value: unknown, refused: readonly MemberPath[]): DocumentParts {
  const itself = new Set(refused.map(pointerTo))
  const inside = placesOnTheWay(refused)
  // A list that is refused as a whole, for being too long, was not looked into.
  const partsAt = (path: MemberPath) => (itself.has(pointerTo(path)) ? [] : elementsAt(value, path, inside))
  return {
    runs: partsAt(lists.runs) as readonly Located<Run>[],
    mountings: partsAt(lists.mountings) as readonly Located<Mounting>[],
    vehicles: partsAt(lists.vehicles) as readonly Located<Vehicle>[],
    rollers: partsAt(lists.rollers) as readonly Located<Rollers>[],
    driveTyres: partsAt(lists.driveTyres) as readonly Located<DriveTyre>[],
    claims: partsAt(lists.claims) as readonly Located<Claim>[],
    excluded: partsAt(lists.excluded) as readonly Located<Exclusion>[],
    incomplete: new Set([...Object.values(lists), ['facility']].map(pointerTo).filter((list) => inside.has(list))),
  }
}

/** An element of `facility.rollers` is the deepest place that is asked for. */
const DEEPEST = 3

function placesOnTheWay(refused: readonly MemberPath[]): ReadonlySet<string> {
  const places = new Set<string>()
  for (const path of refused) {
    let place = ''
    for (const step of path.slice(0, DEEPEST)) {
      place += pointerTo([step])
      places.add(place)
    }
  }
  return places
}

function elementsAt(value: unknown, path: MemberPath, flawed: ReadonlySet<string>): readonly Located<unknown>[] {
  const list = valueAt(value, path)
  if (!Array.isArray(list)) return []
  const located = list.map((item: unknown, index) => ({ item, pointer: pointerTo([...path, index]) }))
  return located.filter(({ pointer }) => !flawed.has(pointer))
}
