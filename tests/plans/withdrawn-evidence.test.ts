/** Runs of a withdrawn summary, sent again under a plan. */
import type { IssuedSummary } from '@fairpull/sdk/contract'
import { simulateSession } from '@fairpull/sdk/testing'
import { expect, test } from 'vitest'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { createRegister, planFor, play, registered, sendRuns } from './support/play.ts'

interface Refused {
  readonly code: string
  readonly detail: string
}

test('runs of a withdrawn summary are signed again only in a summary that supersedes it, under a plan as without one', async () => {
  const register = await createRegister()
  const post = <T>(path: string, body?: unknown) => register.send<T>('POST', path, body)
  const session = simulateSession({
    seed: 5,
    design: 'ABA',
    runsPerBlock: 1,
    gain: { shape: 'uniform', percent: 4 },
    claims: [bandMeanClaim('power', percent(1))],
    channels: 'power-only',
  }).comparison
  const first = await play(register, session)
  const withdrawn = first.summary?.id ?? ''
  await post(`/v1/summaries/${withdrawn}/withdrawal`, { reason: 'a torn hose' })
  const plan = await registered(register, planFor(session))
  await sendRuns(register, plan, session)
  await post(`/v1/plans/${plan.id}/closure`)
  const address = `/v1/plans/${plan.id}/assessment`
  const refused = await post<Refused>(address, {})
  expect([refused.status, refused.body.code]).toEqual([409, 'ERR_SUPERSEDES'])
  expect(refused.body.detail).toContain(withdrawn)
  const other = await post<Refused>(`${address}?supersedes=${plan.id}`, {})
  expect([other.status, other.body.code]).toEqual([409, 'ERR_SUPERSEDES'])
  const replaced = await post<IssuedSummary>(`${address}?supersedes=${withdrawn}`, {})
  expect(replaced.status).toBe(201)
  expect(replaced.body.payload.issue.supersedes).toBe(withdrawn)
})
