/** A proposal as text to paste into a session file. Pure. */
import { nameOf } from './header.ts'
import type { ColumnProposal, ProposedColumn } from './propose-columns.ts'

const NOT_SAID = 'say which'

/**
 * YAML to paste into `session.yaml`, one line per column with what it rests on. What a person has to say first is left
 * empty, so that nothing is taken for granted.
 *
 * @param name name of the file it was proposed from.
 */
export function proposalText(proposal: ColumnProposal, name: string): string {
  const { dialect, encoding, line, samples, columns, unused } = proposal
  const mark = dialect.decimal === '.' ? 'point' : 'comma'
  return [
    `# Proposed from ${name}:`,
    `# ${nameOf(dialect.delimiter)}, decimal ${mark}, ${encoding}; header on line ${line}, ${samples} rows of numbers.`,
    '# Hold every line against the file before you paste it.',
    'columns:',
    ...columns.flatMap(columnText),
    ...missing(columns),
    ...(unused.length === 0 ? [] : [`# Not used: ${unused.join(' | ')}`]),
    '',
  ].join('\n')
}

function columnText(column: ProposedColumn): readonly string[] {
  const { channel, header, unit, choices, as, notes } = column
  const head = `header: ${JSON.stringify(header)}`
  const comments = [basisOf(column), ...notes].map((note) => `  # ${note}`)
  if (as !== null) {
    const what = as === 'afr' ? 'as: afr, stoichiometric: 14.7' : 'as: lambda'
    const ask = [
      '  # Where is the gas taken? Write bung or tailpipe behind probe, and take away the #.',
      ...(as === 'afr' ? ['  # Which stoichiometric ratio does the instrument assume? 14.7 is usual for petrol.'] : []),
    ]
    return [...comments, ...ask, `  # ${channel}: { ${head}, unit: '1', ${what}, probe: }`]
  }
  const open = unit === null ? [`  # The unit: ${NOT_SAID}, ${choices.join(' or ')}.`] : []
  return [...comments, ...open, `  ${channel}: { ${head}, unit:${unit === null ? '' : ` ${quotedUnit(unit)}`} }`]
}

function basisOf({ range, unit, unitFrom }: ProposedColumn): string {
  if (unit === '1') return `${range.low} to ${range.high}`
  const span = `${range.low} to ${range.high}${unit === null ? '' : ` ${unit}`}`
  const basis = {
    file: 'unit as the file says',
    'power-and-torque': 'unit because power = torque x speed comes out',
    values: 'unit a guess from the values',
    none: 'unit not said in the file',
  }[unitFrom ?? 'none']
  return `${span}; ${basis}`
}

/** YAML takes a bare 1 for a number and a bare % for the start of something else. */
function quotedUnit(unit: string): string {
  return /^[a-z]/i.test(unit) ? unit : `'${unit}'`
}

function missing(columns: readonly ProposedColumn[]): readonly string[] {
  const has = (channel: ProposedColumn['channel']) => columns.some((each) => each.channel === channel)
  return [
    ...(has('engineSpeed') || (has('rollerSpeed') && has('time'))
      ? []
      : ['  # No engine speed was found; a run needs it.']),
    ...(has('wheelPower') || has('torque') || has('rollerSpeed') ? [] : ['  # No power or torque was found.']),
  ]
}
