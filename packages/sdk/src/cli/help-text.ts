/** The help of the command as a whole. Pure; needs no package, so that it is there at once. */
import { exitCodeHelp } from './exit-codes.ts'
import type { Word } from './word.ts'

/** The help, with every word and what it does. */
export function helpText(words: readonly Pick<Word, 'name' | 'summary'>[]): string {
  const listed = [...words, { name: 'help', summary: 'Print the help of a word: fairpull help WORD.' }]
  const width = Math.max(...listed.map(({ name }) => name.length))
  return [
    'Usage: fairpull WORD …',
    '',
    'Says whether a before/after dyno comparison is valid and what it shows.',
    '',
    'Words:',
    ...listed.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`),
    '',
    'Options:',
    '  -V, --version  print the version',
    '  -h, --help     print this help, or that of a word',
    '',
    exitCodeHelp,
    '',
    'Next: fairpull init FOLDER, or fairpull assess FILE',
    '',
  ].join('\n')
}
