import { EngineError } from '../engine-error.ts'
import { convert } from './units.ts'

/** Dimensions that a tyre's size designation states. */
export interface TyreSize {
  readonly kind: 'size'
  /** Nominal section width. [m] */
  readonly sectionWidth_m: number
  /** Section height over width. [1] */
  readonly aspectRatio_1: number
  /** Rim diameter. [m] */
  readonly rimDiameter_m: number
}

/** A designation in a form that is not read; the dimensions stay unknown. */
export interface UnreadableTyreSize {
  readonly kind: 'unreadable'
  readonly text: string
}

/** Metric: 180/55ZR17, 150/70 R 18, 130/90-16, 120/70 ZR 17 M/C 58W. */
const metricSize = /^(\d{2,3})\s*\/\s*(\d{2,3})\s*(?:Z?R|B|D|-)?\s*(\d{2})(?![\d.])/

/** Inch: 3.50-18, 4.00 H 18. The aspect ratio is not stated; section height equals width by convention. */
const inchSize = /^(\d\.\d{1,2})\s*(?:[HSVP]?[R-]|[HSVP])\s*(\d{2})(?![\d.])/

const inch_m = convert(1, 'in', 'm')

/**
 * The dimensions in a tyre's size designation.
 *
 * @param text as on the sidewall; upper or lower case, spaces allowed, service description after it is ignored.
 * @returns width, aspect ratio and rim diameter, or `unreadable` for a form that is neither metric nor inch. Pure; never
 *   throws.
 *
 * Source: the designations of UN Regulation No. 75, annex 5 (contents read, tables from memory).
 * Tested: tests/engine/physics/tyre.test.ts.
 */
export function parseTyreSize(text: string): TyreSize | UnreadableTyreSize {
  const designation = text.trim().toUpperCase()
  const metric = metricSize.exec(designation)
  if (metric !== null) {
    const [, width, aspect, rim] = metric
    return tyreSize(Number(width) / 1000, Number(aspect) / 100, Number(rim))
  }
  const inch = inchSize.exec(designation)
  if (inch !== null) {
    const [, width, rim] = inch
    return tyreSize(Number(width) * inch_m, 1, Number(rim))
  }
  return { kind: 'unreadable', text }
}

function tyreSize(sectionWidth_m: number, aspectRatio_1: number, rim_in: number): TyreSize {
  return { kind: 'size', sectionWidth_m, aspectRatio_1, rimDiameter_m: rim_in * inch_m }
}

/**
 * Height of a tyre's section, rim to tread.
 *
 * H = W A.
 *
 * @param size as `parseTyreSize` reads it.
 * @returns section height. [m]
 *
 * Pure; never throws. Tested: tests/published/tyre-geometry.test.ts.
 */
export function sectionHeight_m(size: TyreSize): number {
  return size.sectionWidth_m * size.aspectRatio_1
}

/**
 * Diameter of the free, unloaded, new tyre.
 *
 * D = d + 2 H.
 *
 * @param size as `parseTyreSize` reads it.
 * @returns overall diameter. [m]
 *
 * Pure; never throws. Uncertainty: a standard allows about 2 % of the section height each way; wear takes up to 10 mm.
 * Source: UN Regulation No. 75, annex 5 (from memory). Tested: tests/published/tyre-geometry.test.ts.
 */
export function freeDiameter_m(size: TyreSize): number {
  return size.rimDiameter_m + 2 * sectionHeight_m(size)
}

/**
 * Roll-out of the free tyre.
 *
 * C = π D.
 *
 * @param size as `parseTyreSize` reads it.
 * @returns circumference. [m]; the loaded tyre rolls out some per cent less, and more with speed
 *
 * Pure; never throws. Tested: tests/published/tyre-geometry.test.ts.
 */
export function freeCircumference_m(size: TyreSize): number {
  return Math.PI * freeDiameter_m(size)
}

/** A closed tyre that changes its temperature. */
export interface TyreWarming {
  /** Gauge pressure before. [Pa] */
  readonly gaugePressure_Pa: number
  /** Tyre temperature before and after. [K], above 0 */
  readonly fromTemperature_K: number
  readonly toTemperature_K: number
  /** Absolute pressure outside. [Pa], at or above 0 */
  readonly stationPressure_Pa: number
}

/**
 * Gauge pressure of the same tyre at another temperature.
 *
 * p2 = (p1 + pa) T2 / T1 - pa, constant volume.
 *
 * @param warming pressure before, both temperatures, pressure outside.
 * @returns gauge pressure after. [Pa]
 * @throws EngineError `ERR_OUT_OF_RANGE` when a temperature is not above 0 K.
 *
 * Assumes: no leak, a carcass that does not grow. Source: Gay-Lussac's law.
 * Tested: tests/published/tyre-geometry.test.ts.
 */
export function warmedTyrePressure_Pa(warming: TyreWarming): number {
  const { gaugePressure_Pa, fromTemperature_K, toTemperature_K, stationPressure_Pa } = warming
  if (!(fromTemperature_K > 0 && toTemperature_K > 0)) {
    throw new EngineError('ERR_OUT_OF_RANGE', 'tyre temperatures must be above 0 K', 'fromTemperature_K')
  }
  return ((gaugePressure_Pa + stationPressure_Pa) * toTemperature_K) / fromTemperature_K - stationPressure_Pa
}
