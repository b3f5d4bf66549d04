/** A number of places for work that takes much memory; whoever finds none waits in line. */
export interface Slots {
  /**
   * Waits for a place, and for a turn of the event loop in which nobody else was given one: whoever enters may work for a
   * while without a pause, and the rest of the process comes to its turn in between.
   *
   * @returns the function that gives the place back, to be called once; undefined when the line is full already.
   */
  enter(): Promise<(() => void) | undefined>
}

/** `places` at once, and at most `longestLine` waiting, served in the order they came. */
export function createSlots(places: number, longestLine: number): Slots {
  let free = places
  const line: (() => void)[] = []
  const nextTurn = createTurns()
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
      await nextTurn()
      return leave
    },
  }
}

/** Resolves one waiting call in each turn of the event loop, in the order of the calls. */
function createTurns(): () => Promise<void> {
  const waiting: (() => void)[] = []
  const turn = () => {
    waiting.shift()?.()
    if (waiting.length > 0) setImmediate(turn)
  }
  return () =>
    new Promise((resolve) => {
      waiting.push(resolve)
      if (waiting.length === 1) setImmediate(turn)
    })
}
