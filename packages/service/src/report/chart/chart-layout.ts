/** Where everything stands in the picture. */

/** The wide picture is for pages and paper, the narrow one for telephones: text keeps its size in both. */
export type Layout = 'wide' | 'narrow'

/** A rectangle to draw in. [px of the picture] */
export interface Box {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

/** The places of a layout. [px of the picture] */
export interface Places {
  readonly width: number
  readonly height: number
  /** Panel of the two sides. */
  readonly sides: Box
  /** Bar of the ranges beyond doubt. */
  readonly sure: Box
  /** Panel of the gain. */
  readonly gain: Box
  /** About how many marks the speed axis gets. */
  readonly speedTicks: number
}

/** The places of both layouts. */
export const places: Readonly<Record<Layout, Places>> = {
  wide: {
    width: 720,
    height: 596,
    sides: { left: 48, right: 706, top: 58, bottom: 284 },
    sure: { left: 48, right: 706, top: 370, bottom: 386 },
    gain: { left: 48, right: 706, top: 394, bottom: 552 },
    speedTicks: 9,
  },
  narrow: {
    width: 320,
    height: 608,
    sides: { left: 38, right: 312, top: 76, bottom: 270 },
    sure: { left: 38, right: 312, top: 372, bottom: 388 },
    gain: { left: 38, right: 312, top: 396, bottom: 564 },
    speedTicks: 4,
  },
}
