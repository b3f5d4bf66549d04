import { describe, expectTypeOf, test } from 'vitest'
import type { Assessment, Call, CallFailure, Fairpull } from '../../packages/sdk/src/client/index.ts'
import type { Comparison, DryRun } from '../../packages/sdk/src/contract/index.ts'

// Checked by the compiler; at run time nothing of this is called.
describe('types', () => {
  test('a dry run gives a result, everything else a verified assessment', () => {
    type Create = Fairpull['assessments']['create']
    const dry = (create: Create, comparison: Comparison) => create(comparison, { dryRun: true })
    const real = (create: Create, comparison: Comparison) => create(comparison)
    expectTypeOf(dry).returns.toEqualTypeOf<Call<DryRun>>()
    expectTypeOf(real).returns.toEqualTypeOf<Call<Assessment>>()
  })

  test('a failure is told apart by its name', () => {
    const retryAfterOf = (error: CallFailure) => (error.name === 'ApiError' ? error.retryAfter : null)
    expectTypeOf(retryAfterOf).returns.toEqualTypeOf<number | null>()
  })

  test('a code of the client is a literal', () => {
    type Timeout = Extract<CallFailure, { readonly name: 'TimeoutError' }>
    expectTypeOf<Timeout['code']>().toEqualTypeOf<'ERR_ATTEMPT_TIMEOUT' | 'ERR_DEADLINE'>()
  })
})
