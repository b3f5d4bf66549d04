/** Finds the name that a mistyped one may stand for. */

/**
 * A question that offers the nearest known name, with a blank before it; empty when none is near.
 *
 * A name is near when it is equal but for case, blanks and marks, when one is a part of the other, or when at most a
 * third of it has to be changed.
 * Pure; never throws.
 */
export function didYouMean(name: string, known: readonly string[]): string {
  if (name.length > LONGEST) return ''
  const typed = bare(name)
  let best: { readonly name: string; readonly distance: number } | undefined
  for (const each of known.slice(0, MOST)) {
    const meant = bare(each.slice(0, LONGEST))
    const distance = editDistance(typed, meant)
    const isNear = distance <= Math.floor(Math.max(typed.length, meant.length) / 3) || isPart(typed, meant)
    if (isNear && distance < (best?.distance ?? Number.POSITIVE_INFINITY)) best = { name: each, distance }
  }
  return best === undefined ? '' : ` Did you mean "${best.name}"?`
}

/** Longer names, and names beyond so many, are not worth the work of comparing. */
const LONGEST = 40
const MOST = 100

const SHORTEST_PART = 3

function isPart(a: string, b: string): boolean {
  return Math.min(a.length, b.length) >= SHORTEST_PART && (a.includes(b) || b.includes(a))
}

function bare(name: string): string {
  return name
    .toLowerCase()
    .replaceAll('°', 'deg')
    .replace(/[^\p{L}\p{N}%]/gu, '')
}

/** Letters to insert, drop or replace to make one name of the other (Levenshtein distance). */
function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, column) => column)
  for (let row = 1; row <= a.length; row += 1) {
    const current = [row]
    for (let column = 1; column <= b.length; column += 1) {
      const replaced = (previous[column - 1] ?? 0) + (a[row - 1] === b[column - 1] ? 0 : 1)
      current.push(Math.min(replaced, (previous[column] ?? 0) + 1, (current[column - 1] ?? 0) + 1))
    }
    previous = current
  }
  return previous[b.length] ?? 0
}
