import { parseArgs } from 'node:util'

/** Every option of an operator's commands. */
export const options = {
  name: { type: 'string' },
  organisation: { type: 'string' },
  scopes: { type: 'string' },
  key: { type: 'string' },
  root: { type: 'string' },
  'from-index': { type: 'string' },
  'overlap-hours': { type: 'string' },
} as const

/** Options that were given, by name. */
export type Options = { readonly [Name in keyof typeof options]?: string }

/** A command as it was typed. */
export interface TypedCommand {
  readonly words: readonly string[]
  readonly given: Options
}

/**
 * Takes a command apart. Every option has a value, which may begin with a dash: one thumbprint in 64 does.
 *
 * @throws TypeError for an option that there is not, or one without its value.
 */
export function readOptions(args: readonly string[]): TypedCommand {
  const { positionals, values } = parseArgs({ args: withValues(args), options, allowPositionals: true })
  return { words: positionals, given: values }
}

/** Each option in one piece with the value behind it, so that a dash at its beginning says nothing else. */
function withValues([first, ...rest]: readonly string[]): string[] {
  if (first === undefined) return []
  const [value] = rest
  if (!isOption(first) || value === undefined || isOption(value)) return [first, ...withValues(rest)]
  return [`${first}=${value}`, ...withValues(rest.slice(1))]
}

function isOption(arg: string): boolean {
  return arg.startsWith('--') && Object.hasOwn(options, arg.slice(2))
}
