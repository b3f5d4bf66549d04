/** `/v1/plans` over HTTP: what it takes, what it refuses, what it never does twice. */
import type { PlanCounters, PlanRecord, PlanRequest, RunLogged } from '@fairpull/sdk/contract'
import { comparisonSchema, drawnBlocks, isOneSideFirst } from '@fairpull/sdk/contract/schemas'
import { simulateSession } from '@fairpull/sdk/testing'
import { beforeEach, describe, expect, test } from 'vitest'
import { amendmentExample, planExamples, planRunExample } from '../../packages/service/src/http/plan-examples.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { fullRegisteredPlan } from '../contract/plan-fixture.ts'
import { assessed, createRegister, planFor, play, type Register, registered, sendRuns } from './support/play.ts'

const session = simulateSession({
  seed: 5,
  design: 'ABA',
  runsPerBlock: 1,
  gain: { shape: 'uniform', percent: 4 },
  claims: [bandMeanClaim('power', percent(1))],
  channels: 'power-only',
}).comparison

const plan: PlanRequest = planExamples.baselineModifiedBaseline

let register: Register

beforeEach(async () => {
  register = await createRegister()
})

interface Refused {
  readonly code: string
  readonly errors?: readonly { readonly pointer: string; readonly code: string; readonly detail: string }[]
}

const post = <T>(path: string, body?: unknown) => register.send<T>('POST', path, body)

describe('registering', () => {
  test('answers the record with its challenge once the commitment is in the log', async () => {
    const { status, body, headers } = await post<PlanRecord>('/v1/plans', plan)
    expect(status).toBe(201)
    expect(headers.get('location')).toBe(`/v1/plans/${body.id}`)
    expect(body).toMatchObject({
      status: 'open',
      registration: 'pre-registered',
      planned: 9,
      remaining: 9,
      logIndex: 0,
    })
    expect(register.app.entries).toHaveLength(1)
    const read = await register.send('GET', `/v1/plans/${body.id}`)
    expect(read.body).toEqual(body)
    expect(read.headers.get('etag')).toBe(headers.get('etag'))
  })

  test('happens once per Idempotency-Key', async () => {
    const send = (body: unknown) =>
      register.app.request('/v1/plans', {
        method: 'POST',
        headers: {
          authorization: `Bearer ${register.app.key}`,
          'content-type': 'application/json',
          'idempotency-key': 'one',
        },
        body: JSON.stringify(body),
      })
    const [first, second, other] = [await send(plan), await send(plan), await send(planExamples.interleavedByLot)]
    expect(await second.json()).toEqual(await first.json())
    expect(second.headers.get('idempotency-replayed')).toBe('true')
    expect(other.status).toBe(422)
    const list = await register.send<{ items: readonly unknown[] }>('GET', '/v1/plans')
    expect(list.body.items).toHaveLength(1)
  })

  test('draws an interleaved order from the stated seed, the same every time', async () => {
    const { body } = await post<PlanRecord>('/v1/plans', planExamples.interleavedByLot)
    const { draw } = planExamples.interleavedByLot
    expect(body.terms.draw).toEqual(draw)
    expect(body.terms.blocks).toEqual(drawnBlocks(draw))
    expect(body.planned).toBe(2 * draw.pairs * draw.mountings.length)
    expect(isOneSideFirst(body.terms)).toBe(false)
  })

  test.each([
    ['no order', { blocks: undefined }, '/blocks', 'ERR_PLAN_ORDER'],
    ['two orders', { draw: { seed: 1, pairs: 2, mountings: ['m1'] } }, '/blocks', 'ERR_PLAN_ORDER'],
    ['one side only', { blocks: [{ mounting: 'm1', side: 'baseline', runs: 2 }] }, '/blocks', 'ERR_PLAN_ORDER'],
    [
      'a mounting that comes back',
      {
        blocks: [
          { mounting: 'm1', side: 'baseline', runs: 1 },
          { mounting: 'm2', side: 'modified', runs: 1 },
          { mounting: 'm1', side: 'baseline', runs: 1 },
        ],
      },
      '/blocks',
      'ERR_PLAN_ORDER',
    ],
    [
      'one side first with two conditioning runs',
      {
        conditioningRuns: 2,
        blocks: [
          { mounting: 'm1', side: 'baseline', runs: 3 },
          { mounting: 'm2', side: 'modified', runs: 3 },
        ],
      },
      '/conditioningRuns',
      'ERR_PLAN_CONDITIONING',
    ],
    ['nothing under test', { changes: [{ what: 'fuel', role: 'other' }] }, '/changes', 'ERR_PLAN_CHANGE'],
    ['an unknown member', { secondary: 1 }, '/secondary', 'ERR_UNKNOWN_MEMBER'],
    ['no product', { product: undefined }, '/product', 'ERR_MISSING_MEMBER'],
    [
      'a primary claim without sense',
      { primary: { ...plan.primary, gain: { value: 2, unit: 'N m' } } },
      '/primary/gain/unit',
      'ERR_CLAIM_UNIT',
    ],
    ['two claims of one name', { further: [plan.primary] }, '/further/0/id', 'ERR_DUPLICATE_ID'],
    ['a protocol nobody has', { protocol: 'none@1' }, '/protocol', 'ERR_NOT_IN_LIST'],
  ])('%s is refused, and nothing is logged', async (_, changed, pointer, code) => {
    const { status, body } = await post<Refused>('/v1/plans', { ...plan, ...changed })
    expect(status).toBe(422)
    expect(body.errors?.[0]).toMatchObject({ pointer, code })
    expect(register.app.entries).toHaveLength(0)
  })

  test('three conditioning runs are enough where one side comes first', async () => {
    const blocks = [
      { mounting: 'm1', side: 'baseline', runs: 3 },
      { mounting: 'm2', side: 'modified', runs: 3 },
    ]
    expect((await post('/v1/plans', { ...plan, blocks, conditioningRuns: 3 })).status).toBe(201)
  })
})

describe('a drawn order', () => {
  test('holds one run of each side in every pair, whatever the seed, and both orders of a pair occur', () => {
    const firsts = new Set<string>()
    for (let seed = 0; seed < 200; seed += 1) {
      const sides = drawnBlocks({ seed, pairs: 5, mountings: ['m1', 'm2'] }).flatMap(({ side, runs }) =>
        Array.from({ length: runs }, () => side),
      )
      expect(sides).toHaveLength(20)
      for (let pair = 0; pair < 20; pair += 2) expect(new Set(sides.slice(pair, pair + 2)).size).toBe(2)
      firsts.add(sides.filter((_, index) => index % 2 === 0).join(' '))
    }
    // 2^10 orders are equally likely: 200 draws with fewer than 150 different ones would be no lot.
    expect(firsts.size).toBeGreaterThan(150)
  })
})

describe('a run', () => {
  test('sent again gets the same number and receipt, and the log no second entry', async () => {
    const record = await registered(register, plan)
    const send = () =>
      post<RunLogged>(`/v1/plans/${record.id}/runs`, { ...planRunExample, challenge: record.challenge })
    const [first, second] = [await send(), await send()]
    expect([first.status, second.status]).toEqual([201, 201])
    expect(second.body).toEqual(first.body)
    expect(second.headers.get('idempotency-replayed')).toBe('true')
    expect(register.app.entries).toHaveLength(2)
  })

  test.each([
    ['with another challenge', { challenge: 'f'.repeat(64) }, 422, 'ERR_PLAN_CHALLENGE', undefined],
    ['without a challenge', { challenge: undefined }, 422, 'ERR_BODY_INVALID', '/challenge'],
    [
      'without its mounting',
      { run: { ...planRunExample.run, mounting: undefined } },
      422,
      'ERR_BODY_INVALID',
      '/run/mounting',
    ],
    [
      'in a mounting that was not planned',
      { run: { ...planRunExample.run, mounting: 'm9' } },
      422,
      'ERR_BODY_INVALID',
      '/run/mounting',
    ],
    ['with the description of another mounting', { mounting: { id: 'm2' } }, 422, 'ERR_BODY_INVALID', '/mounting/id'],
    [
      'that is measured and holds no figure',
      { run: { ...planRunExample.run, purpose: 'measured' } },
      422,
      'ERR_BODY_INVALID',
      '/run',
    ],
    [
      'on a roller set that the plan does not know',
      { run: { ...planRunExample.run, setup: { rollers: 'r9' } } },
      422,
      'ERR_BODY_INVALID',
      '/run/setup/rollers',
    ],
    ['with a member too many', { gain: 3 }, 422, 'ERR_BODY_INVALID', '/gain'],
  ])('%s is refused, and nothing is numbered', async (_, changed, status, code, pointer) => {
    const record = await registered(register, plan)
    const body = { ...planRunExample, challenge: record.challenge, ...changed }
    const refused = await post<Refused>(`/v1/plans/${record.id}/runs`, body)
    expect(refused.status).toBe(status)
    expect(refused.body.code).toBe(code)
    expect(refused.body.errors?.[0]?.pointer).toBe(pointer)
    const after = await register.send<PlanRecord>('GET', `/v1/plans/${record.id}`)
    expect(after.body).toMatchObject({ status: 'open', runs: [] })
  })

  test('under an id that is logged, but another one, is refused: what is logged stays', async () => {
    const record = await registered(register, plan)
    const send = (changed: object) =>
      post<Refused>(`/v1/plans/${record.id}/runs`, { ...planRunExample, challenge: record.challenge, ...changed })
    await send({})
    const other = await send({ run: { ...planRunExample.run, counter: 213 } })
    expect([other.status, other.body.code]).toEqual([409, 'ERR_RUN_LOGGED'])
    const redescribed = await send({ run: { ...planRunExample.run, id: 'w2' }, mounting: { id: 'm1' } })
    expect([redescribed.status, redescribed.body.code]).toEqual([409, 'ERR_RUN_LOGGED'])
  })

  test('of another organisation finds no plan', async () => {
    const record = await registered(register, plan)
    register.app.admit('fp_other', { tenant: 'tenant-b', organisation: 'Workshop B' })
    const response = await register.app.request(`/v1/plans/${record.id}`, {
      headers: { authorization: 'Bearer fp_other' },
    })
    expect(response.status).toBe(404)
  })
})

describe('where a plan stands', () => {
  test('no gain is computed before its runs are closed', async () => {
    const record = await registered(register, planFor(session))
    await sendRuns(register, record, { ...session, runs: session.runs.slice(0, 2) })
    const early = await post<Refused>(`/v1/plans/${record.id}/assessment`, {})
    expect([early.status, early.body.code]).toEqual([409, 'ERR_PLAN_STATE'])
    const path = `/v1/plans/${record.id}/comparison`
    expect((await register.send('GET', path)).status).toBe(404)
  })

  test('no run is taken once the planned number is reached', async () => {
    const record = await registered(register, planFor(session))
    await sendRuns(register, record, session)
    const [last] = session.runs.slice(-1)
    if (last === undefined) throw new Error('no run')
    const more = await post<Refused>(`/v1/plans/${record.id}/runs`, {
      challenge: record.challenge,
      run: { ...last, id: 'one-more' },
    })
    expect([more.status, more.body.code]).toEqual([409, 'ERR_PLAN_STATE'])
  })

  test('closed early, it is assessed, and says that fewer runs were made', async () => {
    const record = await registered(register, planFor(session))
    await sendRuns(register, record, { ...session, runs: session.runs.slice(0, -1) })
    const summary = await assessed(register, record.id)
    expect(summary?.payload.result.claims[0]?.reason).toMatch(
      /^Not as planned: 2 baseline runs were planned, 1 can be used/,
    )
    expect(summary?.payload.issue.registration).toBe('pre-registered')
  })

  test('withdrawn before the first run, given up after it, and never the other way round', async () => {
    const unused = await registered(register, plan)
    expect((await post(`/v1/plans/${unused.id}/abandonment`)).status).toBe(409)
    expect((await post(`/v1/plans/${unused.id}/closure`)).status).toBe(409)
    expect((await post<PlanRecord>(`/v1/plans/${unused.id}/withdrawal`)).body.status).toBe('withdrawn')
    expect((await post<PlanRecord>(`/v1/plans/${unused.id}/withdrawal`)).body.status).toBe('withdrawn')

    const used = await registered(register, planFor(session))
    await sendRuns(register, used, { ...session, runs: session.runs.slice(0, 1) })
    expect((await post(`/v1/plans/${used.id}/withdrawal`)).status).toBe(409)
    expect((await post<PlanRecord>(`/v1/plans/${used.id}/abandonment`)).body.status).toBe('abandoned')
    expect((await post(`/v1/plans/${used.id}/assessment`, {})).status).toBe(409)
  })
})

describe('an amendment', () => {
  test('before the first run is a logged version, and the plan remains pre-registered', async () => {
    const record = await registered(register, plan)
    const amended = await post<PlanRecord>(`/v1/plans/${record.id}/amendments`, amendmentExample)
    expect(amended.body).toMatchObject({ registration: 'pre-registered', planned: 12 })
    expect(amended.body.amendments).toEqual([
      { version: 2, at: expect.any(String), reason: amendmentExample.reason, logIndex: 1, afterFirstRun: false },
    ])
    const again = await post<PlanRecord>(`/v1/plans/${record.id}/amendments`, amendmentExample)
    expect(again.body.amendments).toHaveLength(1)
    expect(register.app.entries).toHaveLength(2)
  })

  test('after the first run makes the registration amended for good, and the words say so', async () => {
    const record = await registered(register, planFor(session))
    const [first, ...others] = session.runs
    if (first === undefined) throw new Error('no run')
    await sendRuns(register, record, { ...session, runs: [first] })
    const further = [bandMeanClaim('less', percent(0.5))]
    const amended = await post<PlanRecord>(`/v1/plans/${record.id}/amendments`, {
      reason: 'A second claim.',
      plan: planFor(session, { further }),
    })
    expect(amended.body.registration).toBe('amended')
    await sendRuns(register, record, { ...session, runs: others, mountings: [] })
    const summary = await assessed(register, record.id)
    expect(summary?.payload.issue.registration).toBe('amended')
    expect(summary?.payload.result.claims.map(({ claim }) => claim)).toEqual(['power', 'less'])
    expect(summary?.payload.result.plan?.registration).toBe('amended')
  })

  test.each([
    ['product', { product: 'another one' }],
    ['vehicle', { vehicle: { id: 'v1', label: 'another machine' } }],
  ])('cannot change the %s', async (member, changed) => {
    const record = await registered(register, plan)
    const refused = await post<Refused>(`/v1/plans/${record.id}/amendments`, {
      reason: 'It was meant so.',
      plan: { ...plan, ...changed },
    })
    expect(refused.status).toBe(422)
    expect(refused.body.errors?.[0]).toMatchObject({ pointer: `/plan/${member}`, code: 'ERR_PLAN_FROZEN' })
  })
})

describe('plans for one product', () => {
  const counters = async () => {
    const query = new URLSearchParams({ publisher: 'Workshop A', product: '  SIMULATED   part ' })
    return (await register.send<PlanCounters>('GET', `/v1/plan-counters?${query}`)).body
  }

  test('are counted in public, by exact name and without a key', async () => {
    expect(await counters()).toMatchObject({ opened: 0, done: 0, published: 0, abandoned: 0, withdrawn: 0 })
    const one = await play(register, session)
    const two = await registered(register, planFor(session))
    await post(`/v1/plans/${two.id}/withdrawal`)
    const three = await registered(register, planFor(session))
    await sendRuns(register, three, { ...session, runs: session.runs.slice(0, 1) })
    await post(`/v1/plans/${three.id}/abandonment`)
    expect(await counters()).toMatchObject({ opened: 3, done: 1, published: 0, abandoned: 1, withdrawn: 1 })
    register.app.store.publish(one.summary?.id ?? '')
    expect(await counters()).toMatchObject({ published: 1 })
    expect((await register.send('GET', '/v1/plan-counters?product=x')).status).toBe(400)
  })

  test('divide the level by those that had a run and are unpublished; one taken back is not counted', async () => {
    const first = await play(register, session)
    const given = await registered(register, planFor(session))
    await sendRuns(register, given, { ...session, runs: session.runs.slice(0, 1) })
    await post(`/v1/plans/${given.id}/abandonment`)
    const unused = await registered(register, planFor(session, { product: 'Simulated  Part' }))
    await post(`/v1/plans/${unused.id}/withdrawal`)
    await registered(register, planFor(session, { product: 'another part' }))

    const third = await play(register, session)
    expect(third.summary?.payload.result.plan).toMatchObject({ level: 0.00833333, attempt: { number: 3, of: 3 } })
    register.app.store.publish(first.summary?.id ?? '')
    const fourth = await play(register, session)
    expect(fourth.summary?.payload.result.plan).toMatchObject({ level: 0.00833333, attempt: { number: 4, of: 4 } })
    expect(fourth.summary?.payload.result.limits.join(' ')).toContain('This is the 4th of 4 plans')
  })
})

describe('the facility record', () => {
  const record = session.facility?.record

  test('counts as issued only when the register knows it, value for value', async () => {
    const study = record?.study ?? ''
    register = await createRegister(record === undefined ? {} : { [study]: record })
    const issued = await play(register, session)
    expect(issued.summary?.payload.result.plan?.rules.find(({ rule }) => rule === 'record-issued')?.kept).toBe(true)

    const group = { relativeSd: 0.001, degreesOfFreedom: 8, status: 'measured' } as const
    const facility = { id: 'simulated-cell', ...session.facility, record: { ...record, remounting: group } }
    const altered = await play(register, session, { plan: { facility } })
    expect(altered.summary?.payload.result.plan?.rules.find(({ rule }) => rule === 'record-issued')?.kept).toBe(false)
    expect(altered.summary?.payload.result.claims[0]?.reason).toMatch(/not issued by the register/)
  })
})

test('what a comparison carries of its plan is read with every member', () => {
  const { runs: _, ...rest } = session
  expect(comparisonSchema.safeParse({ ...rest, runs: [], plan: fullRegisteredPlan() }).success).toBe(true)
})

test('a run that was numbered before a stop, and never logged, is logged with its receipt when it is sent again', async () => {
  const record = await registered(register, planFor(session))
  const { plans } = register.app.store
  const acknowledge = plans.acknowledge
  Object.assign(plans, { acknowledge: () => Promise.reject(new Error('stopped')) })
  const [stopped] = await sendRuns(register, record, { ...session, runs: session.runs.slice(0, 1) })
  expect(stopped?.status).toBe(500)
  Object.assign(plans, { acknowledge })
  const [again] = await sendRuns(register, record, { ...session, runs: session.runs.slice(0, 1) })
  expect(again?.body).toMatchObject({ number: 1, status: 'running' })
  const answers = await sendRuns(register, record, { ...session, runs: session.runs.slice(1), mountings: [] })
  expect(answers.map(({ body }) => body.number)).toEqual(session.runs.slice(1).map((_, index) => index + 2))
})
