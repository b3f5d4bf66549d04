/** Room for bodies that wait in memory, shared by all requests of the process. */
export interface BodyBudget {
  /** Room for one body; to be given back. */
  open(): BodyLease
}

/** The part of the room that one body takes. */
export interface BodyLease {
  /** Takes room for so many more bytes; false, with nothing taken, when there is none left. */
  take(bytes: number): boolean
  /** Gives everything back. */
  release(): void
}

/** Room for `capacity` bytes. */
export function createBodyBudget(capacity: number): BodyBudget {
  let free = capacity
  return {
    open: () => {
      let taken = 0
      return {
        take: (bytes) => {
          if (bytes > free) return false
          free -= bytes
          taken += bytes
          return true
        },
        release: () => {
          free += taken
          taken = 0
        },
      }
    },
  }
}
