/** Templates of the two files of a session folder, to be filled in by a person. Pure. */

const SESSION = `# What holds for the whole session. The runs stand in runs.csv, one line each.
#
# Leave empty what was not recorded: empty means "not recorded", never zero.
# A quantity is a number and its unit, such as 250 kPa or 21.5 degC; there is no
# default unit. Next: fairpull check FOLDER says what is missing, the cheapest first.

protocol: motorcycle-rollers@1
reportIn: un-r85           # air correction of the figures; uncorrected ones stand beside

facility:
  id: workshop             # a name you keep from session to session
  altitude:                # above sea level, such as 120 m: shows a sea-level barometer
  rollers:
    - id: r1
      kind:                # inertia or braked
      inertia:             # such as 15 kg m2
      rollerRadius:        # such as 0.25 m
      calibratedOn:        # such as 2026-01-10

vehicles:
  - id: v1
    label:                 # what a reader knows it by, such as "twin, 800 cc"
    class:                 # machines that repeat alike, in the words of the facility
                           # record, such as "road machines up to 100 kW"
    odometer:              # such as 8140 km
    transmission:          # stepped or continuously-variable
    gearing:               # ratios: { primary: 1.69, gears: [2.62, 1.93, 1.53], final: 2.5 }
    engine:                # all four or none:
      cycle:               # four-stroke or two-stroke
      ignition:            # spark or compression
      aspiration:          # natural or boosted
      fuelling:            # carburettor or injection

driveTyres:
  - id: t1
    size:                  # as on the sidewall, such as 180/55ZR17
    maxPressure:           # as on the sidewall, gauge, such as 290 kPa; never exceed it
    speedSymbol:           # as on the sidewall, such as W; never exceed it

# Everything that differs between the sides. The gain belongs to all of it together.
# Take away the # and fill in.
#changes:
#  - what: silencer         # the part under test in a few words
#    role: under-test       # or other, for what came along with it
#    swap: { onRollers: true, reversible: true, minutes: 15 }

# One entry per strapping-down. What it says holds for all its runs, unless the line
# of a run says otherwise.
mountings:
  - id: m1
    at:                    # when it was strapped down, such as 2026-03-02T08:50:00+01:00
    strapping:             # how, in the words of the facility record, such as
                           # "four ratchet straps, front wheel in the clamp"
    straps:                # within their working load limit, such as
                           # - { position: rear-left, tension: 1500 N, angle: 45 deg }
    suspensionLength:      # axle to frame under the straps, such as 512 mm
    setup:
      vehicle: v1
      rollers: r1
      driveTyre: t1
      tune:                # name of the map, such as standard map
      mode:                # riding mode, traction control, lights
      fan:                 # cooling fan and doors, such as full speed, doors shut
      extraction:          # exhaust extraction, such as hose over the tail pipe
      riderAboard:         # true or false
      ballast:             # such as 0 kg
      fuel:
        name:              # as sold, such as unleaded 95
        batch:             # delivery or drum
      sweep:
        mode:              # of a braked rig, as the rig names it
        rate:              # of a braked rig, such as 300 rpm/s
        startSpeed:        # where full throttle begins, such as 3000 rpm

# What the rig's software did to the figures before they were exported.
origin:                    # recorded, exported, read-from-chart or reported
processing:
  measuredAt:              # wheel or crankshaft-estimated
  correction:              # none, un-r85, sae-j1349-jun90, din-70020, …; none is best
  factor:                  # printed by the rig, such as { value: 1.02, resolution: 0.01 }
  smoothing:               # such as { kernel: none }, or { kernel: moving-average, width: 200 rpm }
`

const COLUMNS_OPEN = `
# Which column of the runs' files is what. To have it proposed:
#   fairpull columns runs/b1.csv
columns:
`

const CLAIMS = `
# What you want to say of the part. Take away the # and fill in.
#claims:
#  - id: main
#    quantity: wheel-power  # or wheel-torque
#    over: { kind: band-mean, from: 4000 rpm, to: 10000 rpm }
#    relation: at-least     # or at-most, or equals-within with a tolerance
#    gain: 2 %
#
# Other ranges: { kind: peak }, { kind: at-speed, speed: 8000 rpm }, and with from
# and to: everywhere, anywhere ("up to"), no-loss with a gain such as -0.5 %.

# Numbers of the rig's own counter that are no runs of this comparison.
#unlisted:
#  - { counters: [213], purpose: tuning }
`

const SHEET_HEAD = `# One line per run in the order they were made; every full-throttle run counts.
# An empty cell means "not recorded" and is never zero. Units stand in the header.
# side: baseline or modified. purpose: measured conditioning tuning aborted diagnosis.
# tyre pressure state: set-cold before-run after-run. place: outside-machine inside-tract.
# station pressure is absolute and not reduced to sea level.
`

const SHEET_COLUMNS = [
  'file',
  'id',
  'side',
  'mounting',
  'purpose',
  'sequence',
  'counter',
  'started at',
  'gear',
  'tyre pressure [kPa]',
  'tyre pressure state',
  'station pressure [hPa]',
  'cell air [degC]',
  'intake air [degC]',
  'intake air place',
  'humidity [%]',
  'coolant [degC]',
  'oil [degC]',
  'note',
] as const

type SheetCells = Readonly<Partial<Record<(typeof SHEET_COLUMNS)[number], string>>>

/** What is there when a template is made. */
export interface TemplateOptions {
  /** Files of runs that are there already; each gets a line. Default: a session that is still to be made. */
  readonly files?: readonly string[]
  /** A proposal of columns as text; it is pasted behind comment marks, for a person to confirm. */
  readonly columns?: string
  /** Mark between the cells of the sheet; the semicolon for a spreadsheet with a decimal comma. Default: comma. */
  readonly delimiter?: ',' | ';'
}

/** The texts of `session.yaml` and `runs.csv`. */
export interface SessionTemplate {
  readonly session: string
  readonly sheet: string
}

/**
 * Templates to fill in: of a session still to be made, baseline, modified and baseline again after conditioning runs;
 * of runs that were made, one line per file.
 */
export function sessionTemplate({ files = [], columns, delimiter = ',' }: TemplateOptions = {}): SessionTemplate {
  const rows =
    files.length === 0
      ? plannedRuns()
      : files.map((file): SheetCells => ({ file, mounting: 'm1', purpose: 'measured' }))
  return {
    session: `${SESSION}${columns === undefined ? COLUMNS_OPEN : `\n${unconfirmed(columns)}`}${CLAIMS}`,
    sheet: `${SHEET_HEAD}${[SHEET_COLUMNS.join(delimiter), ...rows.map((row) => lineOf(row, delimiter))].join('\n')}\n`,
  }
}

/** A proposal becomes a mapping when a person takes the marks away. */
function unconfirmed(columns: string): string {
  const lines = columns.trimEnd().split('\n')
  const marked = lines.map((line) => (line.startsWith('#') ? line : `#${line}`))
  return `${marked.join('\n')}\n# To confirm: check each line above, and take away the # in the first place.\n`
}

function plannedRuns(): readonly SheetCells[] {
  const block = (side: string, letter: string, from: number) =>
    [0, 1, 2].map((k): SheetCells => {
      const id = `${letter}${from + k}`
      return { file: `runs/${id}.csv`, id, side, mounting: 'm1', purpose: 'measured' }
    })
  const conditioning = [1, 2, 3].map(
    (k): SheetCells => ({ id: `w${k}`, side: 'baseline', mounting: 'm1', purpose: 'conditioning' }),
  )
  const runs = [
    ...conditioning,
    ...block('baseline', 'b', 1),
    ...block('modified', 'm', 1),
    ...block('baseline', 'b', 4),
  ]
  return runs.map((run, index) => ({ ...run, sequence: String(index + 1) }))
}

function lineOf(cells: SheetCells, delimiter: string): string {
  return SHEET_COLUMNS.map((column) => quoted(cells[column] ?? '')).join(delimiter)
}

function quoted(cell: string): string {
  return /[",;\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell
}
