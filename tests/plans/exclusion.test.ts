/** A run that a rule of the plan leaves out: said at once, made again, and never chosen by side or gain. */
import type { PlanRecord, Run } from '@fairpull/sdk/contract'
import { exclusionOf, protocolOf } from '@fairpull/sdk/engine'
import { simulateSession } from '@fairpull/sdk/testing'
import { describe, expect, test } from 'vitest'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { assessed, createRegister, planFor, registered, sendRuns } from './support/play.ts'
import { registeredComparison } from './support/registered-comparison.ts'

const session = simulateSession({
  seed: 8,
  design: 'ABA',
  runsPerBlock: 1,
  gain: { shape: 'uniform', percent: 6 },
  claims: [bandMeanClaim('power', percent(1))],
}).comparison

/** A pull that was lifted at 8,000 rpm: it does not cover the claimed band up to 10,000 rpm. */
function lifted(run: Run, id: string): Run {
  const speeds = run.channels?.engineSpeed?.values ?? []
  const count = speeds.filter((speed) => speed <= 8000).length
  const channels = Object.fromEntries(
    Object.entries(run.channels ?? {}).map(([name, channel]) => [
      name,
      { ...channel, values: channel.values?.slice(0, count) },
    ]),
  )
  return { ...run, id, channels }
}

/** The session with the first run of a side made once in vain, all that follows one pull later. */
function withLiftedRun(side: Run['side']) {
  const at = session.runs.findIndex((run) => run.side === side && run.purpose === 'measured')
  const first = session.runs[at]
  if (first === undefined) throw new Error('no such run')
  const later = session.runs.slice(at).map((run) => ({
    ...run,
    sequence: (run.sequence ?? 0) + 1,
    counter: (run.counter ?? 0) + 1,
    startedAt: new Date(Date.parse(run.startedAt ?? '') + 180_000).toISOString(),
  }))
  return { ...session, runs: [...session.runs.slice(0, at), lifted(first, 'lifted'), ...later] }
}

describe.each(['baseline', 'modified'] as const)('a pull of the %s side that was lifted', (side) => {
  test('is left out by the rule of the plan, made again, and the plan is kept', async () => {
    const record = session.facility?.record
    const register = await createRegister(record?.study === undefined ? {} : { [record.study]: record })
    const comparison = withLiftedRun(side)
    register.setTime(Date.parse(comparison.runs[0]?.startedAt ?? '') - 600_000)
    const plan = await registered(register, planFor(session, { exclusionRules: ['trace', 'slip', 'fuelling'] }))
    const answers = await sendRuns(register, plan, comparison)
    const left = answers.filter(({ body }) => body.excludedBy !== null)
    expect(left.map(({ body }) => [body.run, body.excludedBy])).toEqual([['lifted', 'trace']])
    expect(answers.at(-1)?.body).toMatchObject({ status: 'closed', remaining: 0 })

    const summary = await assessed(register, plan.id)
    const { result } = summary?.payload ?? {}
    expect(result?.accounting.excluded).toMatchObject([{ run: 'lifted', rule: 'trace' }])
    expect(result?.plan?.rules.filter(({ kept }) => !kept)).toEqual([])
    const stored = await register.send<PlanRecord>('GET', `/v1/plans/${plan.id}`)
    expect(stored.body.runs.find(({ run }) => run === 'lifted')?.excludedBy).toBe('trace')
  })

  test('counts under a plan without that rule, and makes the comparison invalid', async () => {
    const register = await createRegister()
    const comparison = withLiftedRun(side)
    register.setTime(Date.parse(comparison.runs[0]?.startedAt ?? '') - 600_000)
    const plan = await registered(register, planFor(session))
    const answers = await sendRuns(register, plan, { ...comparison, runs: comparison.runs.slice(0, -1) })
    expect(answers.every(({ body }) => body.excludedBy === null)).toBe(true)
    const summary = await assessed(register, plan.id)
    expect(summary?.payload.result.standing).toBe('invalid')
    expect(summary?.payload.result.claims[0]?.judgement).toBe('not-assessable')
  })
})

describe('the rules', () => {
  const run = session.runs.find(({ purpose }) => purpose === 'measured')
  const [vehicle] = session.vehicles ?? []
  if (run === undefined || vehicle === undefined) throw new Error('the simulated session lacks it')
  const blind = ({ side: _, ...rest }: Run) => ({ run: rest, vehicle, claims: session.claims ?? [] })
  const protocol = protocolOf(session.protocol)

  test('give both sides the same answer, word for word: they are not told the side', () => {
    for (const each of [run, lifted(run, run.id)]) {
      const answers = (['baseline', 'modified'] as const).map((side) =>
        exclusionOf(blind({ ...each, side }), ['trace', 'slip', 'fuelling'], protocol),
      )
      expect(answers[0]).toEqual(answers[1])
    }
  })

  test('act only where the plan names them, and on measured runs only', () => {
    expect(exclusionOf(blind(lifted(run, run.id)), ['trace'], protocol)?.rule).toBe('trace')
    expect(exclusionOf(blind(lifted(run, run.id)), ['slip', 'fuelling'], protocol)).toBeNull()
    expect(exclusionOf(blind({ ...lifted(run, run.id), purpose: 'aborted' }), ['trace'], protocol)).toBeNull()
  })

  test('never leave a run out for what was not recorded', () => {
    const { engineSpeed, wheelPower } = run.channels ?? {}
    if (engineSpeed === undefined || wheelPower === undefined) throw new Error('no channels')
    const bare = { ...run, channels: { engineSpeed, wheelPower } }
    expect(exclusionOf(blind(bare), ['trace', 'slip', 'fuelling'], protocol)).toBeNull()
  })

  test('of a comparison that leaves a sound run out under their name are found unfounded', async () => {
    const excluded = [{ run: run.id, rule: 'trace', reason: 'it does not suit' }] as const
    const { assess } = await import('@fairpull/sdk/engine')
    const result = await assess(await registeredComparison({ ...session, excluded }))
    const found = result.plan?.rules.find(({ rule }) => rule === 'exclusions-by-rule')
    expect(found).toMatchObject({ kept: false })
  })
})
