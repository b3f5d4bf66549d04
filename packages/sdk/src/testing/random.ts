/**
 * A seeded source of random numbers, the only one that simulated data may use: same seed, same numbers, on every machine.
 *
 * Generator: sfc32 ("small fast counting", C. Doty-Humphrey, PractRand), 128 bits of state, period at least 2^32 for any
 * seed. It is for simulation, never for keys.
 */
export interface Random {
  /** Uniform on [0, 1), steps of 2^-32. */
  readonly uniform: () => number
  /** Standard normal, by the polar method (G. Marsaglia, T. A. Bray, SIAM Review 6 (1964) 260). */
  readonly normal: () => number
  /** Whole number, uniform on 0 … `below` - 1. */
  readonly integer: (below: number) => number
  /** Chi-square with a whole number of degrees of freedom: the sum of so many squared normals. */
  readonly chiSquare: (degreesOfFreedom: number) => number
  /** One element of a list that is not empty, all equally likely. */
  readonly pick: <T>(list: readonly [T, ...T[]]) => T
  /**
   * An independent stream of its own. It depends on the seed and the labels alone, never on what was drawn before, so
   * that a component added to a simulation leaves the numbers of all others as they were.
   */
  readonly fork: (label: string) => Random
}

const TWO_TO_32 = 4_294_967_296

/** Draws thrown away at the start, so that neighbouring seeds part company. */
const WARM_UP_DRAWS = 15

/**
 * A random stream.
 *
 * @param seed whole number from 0 to 2^32 - 1; the same seed gives the same stream.
 * @returns the stream; it keeps its state inside and shares it with nobody.
 */
export function createRandom(seed: number): Random {
  return streamOf(child({ high: 0, low: seed >>> 0 }, 'seed'))
}

/** What a stream depends on: 64 bits, so that among millions of streams no two are likely to be alike. */
interface Key {
  readonly high: number
  readonly low: number
}

function streamOf(key: Key): Random {
  const uniform = smallFastCounting(key)
  const normal = polarNormal(uniform)
  const integer = (below: number) => Math.floor(uniform() * below)
  return {
    uniform,
    normal,
    integer,
    chiSquare: (degreesOfFreedom) => {
      let sum = 0
      for (let k = 0; k < degreesOfFreedom; k += 1) sum += normal() ** 2
      return sum
    },
    pick: (list) => list[integer(list.length)] ?? list[0],
    fork: (label) => streamOf(child(key, label)),
  }
}

function child({ high, low }: Key, label: string): Key {
  return { high: hash(high, `${low} ${label}`), low: hash(low, `${label} ${high}`) }
}

/** 32 bits out of a number and a label: FNV-1a over the characters, then the finaliser of MurmurHash3. */
function hash(start: number, label: string): number {
  let h = 0x811c9dc5 ^ start
  for (let k = 0; k < label.length; k += 1) h = Math.imul(h ^ label.charCodeAt(k), 0x01000193)
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return (h ^ (h >>> 16)) >>> 0
}

function smallFastCounting({ high, low }: Key): () => number {
  let a = low
  let b = high
  let c = hash(low ^ high, 'c')
  let counter = 1
  const draw = () => {
    const sum = (a + b + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (((c << 21) | (c >>> 11)) + sum) | 0
    return (sum >>> 0) / TWO_TO_32
  }
  for (let k = 0; k < WARM_UP_DRAWS; k += 1) draw()
  return draw
}

/** Each accepted pair gives two normals; the second is kept for the next call. */
function polarNormal(uniform: () => number): () => number {
  let spare: number | null = null
  return () => {
    if (spare !== null) {
      const kept = spare
      spare = null
      return kept
    }
    for (;;) {
      const u = 2 * uniform() - 1
      const v = 2 * uniform() - 1
      const s = u * u + v * v
      if (s > 0 && s < 1) {
        const scale = Math.sqrt((-2 * Math.log(s)) / s)
        spare = v * scale
        return u * scale
      }
    }
  }
}
