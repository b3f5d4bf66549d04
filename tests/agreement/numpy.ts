/** The method in numpy, as a process. */
import { execFileSync } from 'node:child_process'
import { join } from 'node:path'
import { root } from '../support/source-files.ts'
import type { MethodAnswer } from './compared.ts'
import type { MethodSession } from './method-session.ts'

/** What it says of one session, and the CPU milliseconds of every timed round. */
export interface NumpyAnswer {
  readonly ms: readonly number[]
  readonly result: MethodAnswer
}

/**
 * Judges sessions with `numpy/judge.py`.
 *
 * @param rounds timed rounds of each; 0 judges once.
 * @throws Error where python3 with numpy and scipy is not at hand.
 */
export function judgedInNumpy(sessions: readonly MethodSession[], rounds = 0): readonly NumpyAnswer[] {
  const script = join(root, 'tests/agreement/numpy/judge.py')
  const input = JSON.stringify(sessions)
  return JSON.parse(execFileSync('python3', [script, String(rounds)], { encoding: 'utf8', input, maxBuffer: 1e9 }))
}
