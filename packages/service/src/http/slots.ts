/** A number of places for work that takes much memory; whoever finds none waits in line. */
export interface Slots {
  /**
   * Waits for a place.
   *
   * @returns the function that gives the place back, to be called once; undefined when the line is full already.
   */
  enter(): Promise<(() => void) | undefined>
}

/** `places` at once, and at most `longestLine` waiting, served in the order they came. */
export function createSlots(places: number, longestLine: number): Slots {
  let free = places
  const line: (() => void)[] = []
  const leave = () => {
    const next = line.shift()
    if (next === undefined) free += 1
    else next()
  }
  return {
    enter: async () => {
      if (free > 0) free -= 1
      else if (line.length >= longestLine) return undefined
      else await new Promise<void>((resolve) => line.push(resolve))
      return leave
    },
  }
}
