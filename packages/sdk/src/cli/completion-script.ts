/** Scripts by which a shell completes the words and options of the command. Pure. */

/** Shells that there is a script for. */
export const shells = ['bash', 'zsh', 'fish'] as const

/** A shell that there is a script for. */
export type Shell = (typeof shells)[number]

/** True for the name of such a shell. */
export function isShell(name: string): name is Shell {
  return shells.some((shell) => shell === name)
}

/** A word with its options. */
export interface CompletedWord {
  /** The word. */
  readonly name: string
  /** What it does. */
  readonly summary: string
  /** Its options, `--` included. */
  readonly options: readonly { readonly name: string; readonly description: string }[]
}

/** The script of a shell. Files complete wherever neither a word nor an option is begun. */
export function completionScript(shell: Shell, words: readonly CompletedWord[]): string {
  const lines = { bash: bashLines, zsh: zshLines, fish: fishLines }[shell](words)
  return `${lines.join('\n')}\n`
}

function bashLines(words: readonly CompletedWord[]): readonly string[] {
  return [
    '# bash completion of fairpull',
    '_fairpull() {',
    `  local current=\${COMP_WORDS[COMP_CWORD]}`,
    '  local options',
    '  if [ "$COMP_CWORD" -eq 1 ]; then',
    `    COMPREPLY=($(compgen -W "${[...words.map(({ name }) => name), 'help'].join(' ')}" -- "$current"))`,
    '    return',
    '  fi',
    `  case \${COMP_WORDS[1]} in`,
    ...words.map(
      ({ name, options }) => `    ${name}) options="${['--help', ...options.map((o) => o.name)].join(' ')}" ;;`,
    ),
    `    help) options="${words.map(({ name }) => name).join(' ')}" ;;`,
    '  esac',
    '  case $current in',
    '    -*) COMPREPLY=($(compgen -W "$options" -- "$current")) ;;',
    `    *) if [ "\${COMP_WORDS[1]}" = help ]; then COMPREPLY=($(compgen -W "$options" -- "$current")); fi ;;`,
    '  esac',
    '}',
    'complete -o default -F _fairpull fairpull',
  ]
}

function zshLines(words: readonly CompletedWord[]): readonly string[] {
  const described = (name: string, text: string) => quoted(`${name.replaceAll(':', '\\:')}:${text}`)
  return [
    '#compdef fairpull',
    '_fairpull() {',
    '  local -a words_ options_',
    `  words_=(${words.map(({ name, summary }) => described(name, summary)).join(' ')} 'help:Print the help of a word.')`,
    '  if (( CURRENT == 2 )); then',
    "    _describe 'word' words_",
    '    return',
    '  fi',
    '  case $words[2] in',
    ...words.map(
      ({ name, options }) =>
        `    ${name}) options_=(${options.map((o) => described(o.name, o.description)).join(' ')}) ;;`,
    ),
    "    help) _describe 'word' words_; return ;;",
    '  esac',
    "  if [[ $PREFIX == -* ]]; then _describe 'option' options_; else _files; fi",
    '}',
    'if [ "$funcstack[1]" = _fairpull ]; then _fairpull "$@"; else compdef _fairpull fairpull; fi',
  ]
}

function fishLines(words: readonly CompletedWord[]): readonly string[] {
  return [
    '# fish completion of fairpull',
    ...words.map(
      ({ name, summary }) => `complete -c fairpull -n __fish_use_subcommand -f -a ${name} -d ${quoted(summary)}`,
    ),
    ...words.flatMap(({ name, options }) =>
      options.map(
        (option) =>
          `complete -c fairpull -n '__fish_seen_subcommand_from ${name}' -l ${option.name.slice(2)} -d ${quoted(option.description)}`,
      ),
    ),
  ]
}

function quoted(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`
}
