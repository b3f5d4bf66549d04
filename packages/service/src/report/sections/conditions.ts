/** Test item, facility and conditions, as the submitter stated them. Pure. */
import type { Comparison, Quantity, Run } from '@fairpull/sdk/contract'
import { convert } from '@fairpull/sdk/engine'
import { type Markup, markup } from '../markup.ts'
import { printed } from '../numbers.ts'
import { facts, section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

/** The section. */
export function conditionsSection(comparison: Comparison | null): Markup {
  const { sections, noConditions, conditionsFrom } = words
  if (comparison === null) return section('conditions', sections.conditions, markup`<p>${noConditions}</p>`)
  const { changes = [], vehicles = [], facility } = comparison
  const of = (role: 'under-test' | 'other') => changes.filter((change) => change.role === role).map(({ what }) => what)
  const stated = statedOf(comparison)
  return section(
    'conditions',
    sections.conditions,
    facts([
      [words.change, of('under-test').join('; ')],
      [words.otherChange, of('other').join('; ')],
      [words.machine, vehicles.map((vehicle) => vehicle.label ?? vehicle.id).join('; ')],
      [words.facility, facility?.id],
      [words.tested, timesOf(comparison.runs)],
    ]),
    sidesTable(stated),
    markup`<p class="quiet small">${conditionsFrom}</p>`,
  )
}

/** What a run states, in the order of the table. */
const rows: readonly (readonly [string, (run: Stated) => Quantity | null])[] = [
  [words.gear, ({ setup }) => (setup.gear === undefined ? null : { value: setup.gear, unit: '1' })],
  [words.tyrePressure, ({ setup }) => setup.tyrePressure ?? null],
  [words.intakeAir, ({ conditions }) => conditions.intakeAirTemperature ?? null],
  [words.cellAir, ({ conditions }) => conditions.cellAirTemperature ?? null],
  [words.stationPressure, ({ conditions }) => conditions.stationPressure ?? null],
  [words.humidity, ({ conditions }) => conditions.relativeHumidity ?? null],
  [words.coolant, ({ conditions }) => conditions.coolantTemperature ?? null],
  [words.oil, ({ conditions }) => conditions.oilTemperature ?? null],
]

/** Smallest and largest of each quantity on each side; what nobody stated has no row. */
function sidesTable(stated: readonly Stated[]): Markup | null {
  const of = (side: Run['side'], read: (run: Stated) => Quantity | null) =>
    spanOf(stated.filter((run) => run.side === side).flatMap((run) => read(run) ?? []))
  const shown = rows
    .map(([name, read]) => [name, of('baseline', read), of('modified', read)] as const)
    .filter(([, baseline, modified]) => baseline !== '' || modified !== '')
  if (shown.length === 0) return null
  const { columns, statedQuantity } = words
  return markup`<table><thead><tr><th scope="col">${statedQuantity}</th><th scope="col">${columns.baseline}</th><th scope="col">${columns.modified}</th></tr></thead>
<tbody>${shown.map(([name, baseline, modified]) => markup`<tr><th scope="row">${name}</th><td>${baseline || '–'}</td><td>${modified || '–'}</td></tr>`)}</tbody></table>`
}

/** A measured run with what it takes from its mounting. */
interface Stated {
  readonly side: Run['side']
  readonly setup: NonNullable<Run['setup']>
  readonly conditions: NonNullable<Run['conditions']>
}

function statedOf({ runs, mountings = [] }: Comparison): readonly Stated[] {
  return runs
    .filter(({ purpose }) => purpose === 'measured')
    .map((run) => {
      const mounting = mountings.find(({ id }) => id === run.mounting)
      return {
        side: run.side,
        setup: { ...mounting?.setup, ...run.setup },
        conditions: { ...mounting?.conditions, ...run.conditions },
      }
    })
}

/** Smallest to largest in the unit of the first. */
function spanOf([first, ...others]: readonly Quantity[]): string {
  if (first === undefined) return ''
  const values = [first.value, ...others.map(({ value, unit }) => convert(value, unit, first.unit as never))]
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const decimals = values.every(Number.isInteger) ? 0 : 1
  const symbol = symbols[first.unit] ?? first.unit
  const [from, to] = [printed(low, decimals), printed(high, decimals)]
  return `${from === to ? from : `${from} to ${to}`} ${symbol}`.trim()
}

const symbols: Readonly<Record<string, string>> = { degC: '°C', degF: '°F', '1': '' }

function timesOf(runs: readonly Run[]): string {
  const times = runs.flatMap(({ startedAt }) => startedAt ?? []).toSorted()
  const [first, last] = [times[0], times.at(-1)]
  if (first === undefined || last === undefined) return ''
  return first === last ? first : `${first} to ${last}`
}
