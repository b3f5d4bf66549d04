/**
 * Looks of the chart: two lightnesses of ink for the sides, one violet for the gain. Nothing is told by hue alone: the
 * sides differ by dashes and lightness, gain and loss by filled and hatched bars with their words.
 */

/** Which of the looks. `auto` follows the reader's system. */
export type Theme = 'auto' | 'light' | 'dark'

interface Palette {
  readonly paper: string
  readonly ink: string
  readonly quiet: string
  readonly grid: string
  readonly baseline: string
  readonly gain: string
  readonly wide: string
  readonly near: string
}

const light: Palette = {
  paper: '#ffffff',
  ink: '#16202b',
  quiet: '#4c5966',
  grid: '#dfe3e8',
  baseline: '#768493',
  gain: '#4b2f8a',
  wide: '#e6dff5',
  near: '#bfaee4',
}

const dark: Palette = {
  paper: '#12171d',
  ink: '#eef1f4',
  quiet: '#b0bac4',
  grid: '#2b343d',
  baseline: '#8b98a5',
  gain: '#c9b6ff',
  wide: '#2c2544',
  near: '#4d3f7a',
}

/** The rules of one palette. */
function rules(colour: Palette): string {
  return [
    `.fp-paper{fill:${colour.paper}}`,
    `.fp-chart text{fill:${colour.ink}}.fp-chart .fp-quiet{fill:${colour.quiet}}`,
    `.fp-grid{stroke:${colour.grid}}.fp-axis{stroke:${colour.quiet}}.fp-zero{stroke:${colour.ink}}`,
    `.fp-run{stroke:${colour.baseline}}.fp-baseline{stroke:${colour.baseline}}.fp-modified{stroke:${colour.ink}}`,
    `.fp-gain{stroke:${colour.gain}}.fp-claim{stroke:${colour.ink}}`,
    `.fp-wide{fill:${colour.wide}}.fp-near{fill:${colour.near}}`,
    `.fp-sure-gain{fill:${colour.gain};stroke:${colour.gain}}.fp-sure-loss{stroke:${colour.gain}}`,
    `.fp-hatch{stroke:${colour.gain}}.fp-hatched{fill:${colour.paper}}.fp-chart .fp-on-bar{fill:${colour.paper}}`,
    `.fp-chart .fp-halo{stroke:${colour.paper}}`,
  ].join('')
}

/** Rules that hold in every palette. */
const SHAPES = [
  '.fp-chart text{font-family:system-ui,-apple-system,"Segoe UI",Roboto,"Liberation Sans",sans-serif;font-size:12px}',
  '.fp-chart .fp-head{font-weight:600;font-size:13px}.fp-chart .fp-halo{stroke-width:4px;paint-order:stroke}',
  '.fp-line{fill:none;stroke-linejoin:round;stroke-linecap:round}',
  '.fp-grid,.fp-axis{stroke-width:1}.fp-zero{stroke-width:1.5}',
  '.fp-run{stroke-width:1;opacity:.6}.fp-baseline{stroke-width:2;stroke-dasharray:7 4}.fp-modified{stroke-width:2.6}',
  '.fp-gain{stroke-width:2.2}.fp-claim{stroke-width:1.6;stroke-dasharray:2 3}.fp-hatch{stroke-width:2}',
].join('')

/** The style sheet of the chart. Pure. */
export function chartStyle(theme: Theme): string {
  if (theme === 'light') return SHAPES + rules(light)
  if (theme === 'dark') return SHAPES + rules(dark)
  return `${SHAPES}${rules(light)}@media (prefers-color-scheme:dark){${rules(dark)}}@media print{${rules(light)}}`
}
