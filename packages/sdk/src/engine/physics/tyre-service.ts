import { EngineError } from '../engine-error.ts'

/** Highest speed of each speed symbol. [km/h] UN Regulation No. 75 and the tyre trade's common table, from memory. */
const speedOfSymbol_km_per_h = {
  F: 80,
  G: 90,
  J: 100,
  K: 110,
  L: 120,
  M: 130,
  N: 140,
  P: 150,
  Q: 160,
  R: 170,
  S: 180,
  T: 190,
  U: 200,
  H: 210,
  V: 240,
  W: 270,
  Y: 300,
} as const

/** A letter on a tyre that states up to which speed it may carry its load. */
export type SpeedSymbol = keyof typeof speedOfSymbol_km_per_h

/** Whether a text is a speed symbol that the table knows. */
export function isSpeedSymbol(text: string): text is SpeedSymbol {
  return Object.hasOwn(speedOfSymbol_km_per_h, text)
}

/**
 * Speed up to which a tyre may carry its load.
 *
 * @param symbol the letter on the sidewall.
 * @returns speed. [m/s]
 *
 * Pure; never throws. Source: the tyre trade's common table, from memory (H 210, V 240, W 270 km/h).
 * Tested: tests/engine/physics/tyre.test.ts.
 */
export function symbolSpeed_m_per_s(symbol: SpeedSymbol): number {
  return speedOfSymbol_km_per_h[symbol] / 3.6
}

const firstLoadIndex = 30

/** Load of the indices 30 to 100 in their order. [kg] The tyre trade's common table, from memory. */
const loadOfIndex_kg = [
  106, 109, 112, 115, 118, 121, 125, 128, 132, 136, 140, 145, 150, 155, 160, 165, 170, 175, 180, 185, 190, 195, 200,
  206, 212, 218, 224, 230, 236, 243, 250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335, 345, 355, 365, 375, 387,
  400, 412, 425, 437, 450, 462, 475, 487, 500, 515, 530, 545, 560, 580, 600, 615, 630, 650, 670, 690, 710, 730, 750,
  775, 800,
] as const

/**
 * Load that a tyre may carry.
 *
 * @param loadIndex the number on the sidewall. 30 to 100, whole
 * @returns load. [kg]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the table has no such index.
 *
 * Source: the tyre trade's common table, from memory. Tested: tests/engine/physics/tyre.test.ts.
 */
export function indexLoad_kg(loadIndex: number): number {
  const load = loadOfIndex_kg[loadIndex - firstLoadIndex]
  if (load !== undefined) return load
  throw new EngineError('ERR_OUT_OF_RANGE', `load index ${loadIndex} is not one of 30 to 100`, 'loadIndex')
}
