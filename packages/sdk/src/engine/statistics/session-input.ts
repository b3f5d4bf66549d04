import type { ScalarInput } from './scalar-input.ts'

/** What every fit of one session shares: all of the scalar input but the figures and the drift model. */
export type SessionInput = Omit<ScalarInput, 'values' | 't' | 'width_rpm' | 'isRelative'>
