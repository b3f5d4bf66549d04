/**
 * The words of the command, each a file in `commands/` that is loaded when it is called and not before.
 *
 * A new word is one file there and one line here; help, suggestions and shell completion follow from it.
 */
import type { Word } from './word.ts'

/** All words, in the order a newcomer meets them. */
export const words: readonly Word[] = [
  {
    name: 'init',
    summary: 'Write a session folder to fill in: session.yaml and runs.csv.',
    load: () => import('./commands/init.ts'),
  },
  {
    name: 'columns',
    summary: 'Propose which column of a CSV file is what.',
    load: () => import('./commands/columns.ts'),
  },
  {
    name: 'check',
    summary: 'Say what a session folder still lacks, the cheapest first.',
    load: () => import('./commands/check.ts'),
  },
  {
    name: 'assess',
    summary: 'Assess a comparison, here or by a service that signs.',
    load: () => import('./commands/assess.ts'),
  },
  {
    name: 'sample-size',
    summary: 'Say how many runs and mountings a comparison needs.',
    load: () => import('./commands/sample-size.ts'),
  },
  {
    name: 'plan',
    summary: 'Register a plan before its first run, or show one.',
    load: () => import('./commands/plan.ts'),
  },
  {
    name: 'study',
    summary: 'Measure how well you repeat: a record for your comparisons.',
    load: () => import('./commands/study.ts'),
  },
  {
    name: 'verify',
    summary: 'Verify a signed summary, offline: nothing is fetched.',
    load: () => import('./commands/verify.ts'),
  },
  {
    name: 'recompute',
    summary: 'Verify a signed summary, and compute it anew from the data.',
    load: () => import('./commands/recompute.ts'),
  },
  {
    name: 'publish',
    summary: 'Make a signed summary public, for good.',
    load: () => import('./commands/publish.ts'),
  },
  {
    name: 'protocols',
    summary: 'Show what is checked, with every limit and its basis.',
    load: () => import('./commands/protocols.ts'),
  },
  {
    name: 'serve',
    summary: 'Start the service, where it is installed.',
    load: () => import('./commands/serve.ts'),
  },
  {
    name: 'completion',
    summary: 'Print a script that completes words and options in your shell.',
    load: () => import('./commands/completion.ts'),
  },
]
