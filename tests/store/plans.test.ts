/** Registered plans on PostgreSQL: two replicas on one database never leave a gap, nor give a number twice. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { NewPlan, NewPlanRun, NumberOutcome, PlanStore } from '../../packages/service/src/plan-ports.ts'
import { openDatabase } from '../../packages/service/src/store/database.ts'
import { type EmbeddedPostgres, startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { uuidIds } from '../../packages/service/src/store/ids.ts'
import { migrate } from '../../packages/service/src/store/migrations.ts'
import { createStore } from '../../packages/service/src/store/store.ts'
import { type DataFolder, temporaryDataFolder } from '../faults/support/data-folder.ts'
import { bytesOf, digestOf, issuanceOf, NOW } from '../faults/support/issuance.ts'

let folder: DataFolder
let database: EmbeddedPostgres
let replicas: readonly [PlanStore, PlanStore]

beforeAll(async () => {
  folder = await temporaryDataFolder()
  database = await startEmbeddedPostgres({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })
  const open = () => {
    const db = openDatabase(database.connection, () => undefined)
    return { db, store: createStore(db, async () => undefined) }
  }
  const [one, other] = [open(), open()]
  await migrate(one.db, NOW)
  replicas = [one.store, other.store]
})

afterAll(async () => {
  for (const replica of replicas ?? []) await replica.close()
  await database?.stop()
  await folder.remove()
})

function newPlan(changed: Partial<NewPlan> = {}): NewPlan {
  return {
    id: uuidIds.next(),
    createdAt: NOW,
    publisher: 'Workshop of the test',
    keys: { product: 'silencer', vehicle: 'machine', quantity: 'wheel-power' },
    challenge: 'c'.repeat(64),
    salt: 'd'.repeat(64),
    planned: 1000,
    versions: [{ version: 1, at: NOW, reason: null, logIndex: 7, afterFirstRun: false, terms: bytesOf('terms') }],
    ...changed,
  }
}

/** A registered plan. */
async function planned(changed: Partial<NewPlan> = {}, tenant = uuidIds.next()) {
  const plan = newPlan(changed)
  const response = { status: 201, headers: {}, body: bytesOf(`answer ${plan.id}`) }
  await replicas[0].plans.register({ tenant, idempotency: null, plan, response })
  return { tenant, id: plan.id, plan }
}

function newRun(run: string, changed: Partial<NewPlanRun> = {}): NewPlanRun {
  return {
    ...{ run, digest: `sha256:${run}`, bytes: bytesOf(run), mounting: null },
    ...{ receivedAt: NOW, isCounted: true, excludedBy: null },
    ...changed,
  }
}

const numberOf = (outcome: NumberOutcome) => (outcome.outcome === 'numbered' ? outcome.run.number : outcome.outcome)

describe('numbers of runs', () => {
  test('sixty runs, each sent to both replicas at once, get sixty numbers without gap or double', async () => {
    const { tenant, id } = await planned()
    const names = Array.from({ length: 60 }, (_, index) => `run-${index}`)
    const outcomes = await Promise.all(
      names.flatMap((name) => replicas.map(({ plans }) => plans.number(tenant, id, newRun(name)))),
    )
    const numbers = outcomes.map(numberOf)
    for (let k = 0; k < names.length; k += 1) expect(numbers[2 * k]).toBe(numbers[2 * k + 1])
    expect([...new Set(numbers)].sort((a, b) => Number(a) - Number(b))).toEqual(names.map((_, index) => index + 1))
    expect(outcomes.filter((each) => each.outcome === 'numbered' && each.isNew)).toHaveLength(60)
    const stored = await replicas[1].plans.runs(tenant, id)
    expect(stored.map(({ number }) => number)).toEqual(names.map((_, index) => index + 1))
    expect(await replicas[0].plans.find(tenant, id)).toMatchObject({ logged: 60, counted: 60, status: 'running' })
  })

  test('the planned number closes the plan, however many runs arrive at once', async () => {
    const { tenant, id } = await planned({ planned: 5 })
    const outcomes = await Promise.all(
      Array.from({ length: 24 }, (_, index) =>
        replicas[index % 2 === 0 ? 0 : 1].plans.number(tenant, id, newRun(`run-${index}`)),
      ),
    )
    expect(outcomes.filter(({ outcome }) => outcome === 'numbered')).toHaveLength(5)
    expect(outcomes.filter(({ outcome }) => outcome === 'wrong-state')).toHaveLength(19)
    expect(await replicas[0].plans.find(tenant, id)).toMatchObject({ logged: 5, counted: 5, status: 'closed' })
  })

  test('a run that does not count takes a number and leaves the plan open', async () => {
    const { tenant, id } = await planned({ planned: 1 })
    const { plans } = replicas[0]
    expect(await plans.number(tenant, id, newRun('w1', { isCounted: false }))).toMatchObject({
      plan: { status: 'running', counted: 0, logged: 1 },
    })
    expect(await plans.number(tenant, id, newRun('a1', { isCounted: false, excludedBy: 'slip' }))).toMatchObject({
      run: { number: 2, excludedBy: 'slip' },
    })
    expect(await plans.number(tenant, id, newRun('a2'))).toMatchObject({ plan: { status: 'closed' } })
    // A repetition of the last run is told its number after the plan is closed, too.
    expect(numberOf(await plans.number(tenant, id, newRun('a2')))).toBe(3)
  })

  test('what is logged stays: another run of this id, and another description of the mounting', async () => {
    const { tenant, id } = await planned()
    const mounting = (text: string) => ({ id: 'm1', digest: `sha256:${text}`, bytes: bytesOf(text) })
    const { plans } = replicas[0]
    await plans.number(tenant, id, newRun('a1', { mounting: mounting('one') }))
    const other = (changed: Partial<NewPlanRun>) => plans.number(tenant, id, newRun('a1', changed))
    expect(numberOf(await other({ mounting: mounting('one'), digest: 'sha256:other' }))).toBe('other-run')
    expect(numberOf(await other({}))).toBe('other-mounting')
    const next = (changed: Partial<NewPlanRun>) => plans.number(tenant, id, newRun('a2', changed))
    expect(numberOf(await next({ mounting: mounting('two') }))).toBe('other-mounting')
    expect(numberOf(await next({ mounting: mounting('one') }))).toBe(2)
  })

  test('of another tenant, and of a plan that is not there, are not given', async () => {
    const { id } = await planned()
    expect(numberOf(await replicas[0].plans.number(uuidIds.next(), id, newRun('a1')))).toBe('unknown')
  })
})

test('a run reads back byte for byte, and of two receipts the first stays', async () => {
  const { tenant, id } = await planned()
  const run = newRun('a1', { mounting: { id: 'm1', digest: 'sha256:m', bytes: bytesOf('mounting') } })
  await replicas[0].plans.number(tenant, id, run)
  const [before] = await replicas[1].plans.runs(tenant, id)
  expect(Buffer.from(before?.bytes ?? [])).toEqual(Buffer.from(run.bytes))
  expect(Buffer.from(before?.mounting?.bytes ?? [])).toEqual(Buffer.from(bytesOf('mounting')))
  expect(before).toMatchObject({ number: 1, run: 'a1', digest: run.digest, receivedAt: NOW, acknowledged: null })
  const receipts = await Promise.all(
    replicas.map(({ plans }, logIndex) => plans.acknowledge(tenant, id, 1, { logIndex, receipt: `r${logIndex}` })),
  )
  expect(receipts[0]).toEqual(receipts[1])
  expect((await replicas[0].plans.runs(tenant, id))[0]?.acknowledged).toEqual(receipts[0])
})

describe('a plan', () => {
  test('reads back as registered, for its tenant alone', async () => {
    const { tenant, id, plan } = await planned()
    const found = await replicas[1].plans.find(tenant, id)
    const { versions, ...rest } = plan
    expect(found).toMatchObject({ ...rest, tenant, status: 'open', counted: 0, logged: 0, assessment: null })
    expect(found?.versions[0]).toMatchObject({ version: 1, at: NOW, reason: null, logIndex: 7, afterFirstRun: false })
    expect(Buffer.from(found?.versions[0]?.terms ?? [])).toEqual(Buffer.from(versions[0]?.terms ?? []))
    expect(await replicas[1].plans.find(uuidIds.next(), id)).toBeUndefined()
  })

  test('is registered once per Idempotency-Key, fifty requests at once', async () => {
    const tenant = uuidIds.next()
    const idempotency = { key: 'k', requestDigest: digestOf('plan'), expiresAt: new Date(NOW.getTime() + 1000) }
    const outcomes = await Promise.all(
      Array.from({ length: 50 }, (_, index) => {
        const plan = newPlan()
        const response = { status: 201, headers: {}, body: bytesOf(plan.id) }
        return replicas[index % 2 === 0 ? 0 : 1].plans.register({ tenant, idempotency, plan, response })
      }),
    )
    expect(outcomes.filter(({ outcome }) => outcome === 'issued')).toHaveLength(1)
    expect(outcomes.filter(({ outcome }) => outcome === 'replayed')).toHaveLength(49)
    expect(await replicas[0].plans.list(tenant, { limit: 100 })).toHaveLength(1)
  })

  test('of two amendments of one version at once, one is overtaken; the first run decides what it is worth', async () => {
    const { tenant, id, plan } = await planned()
    const amend = (replica: PlanStore, expected: number) =>
      replica.plans.amend(tenant, id, {
        expected,
        version: { version: expected + 1, at: NOW, reason: 'why', logIndex: 9, terms: bytesOf('other') },
        keys: plan.keys,
        planned: 12,
      })
    const outcomes = await Promise.all(replicas.map((replica) => amend(replica, 1)))
    expect(outcomes.map(({ outcome }) => outcome).sort()).toEqual(['done', 'overtaken'])
    await replicas[0].plans.number(tenant, id, newRun('a1'))
    await amend(replicas[1], 2)
    const found = await replicas[0].plans.find(tenant, id)
    expect(found?.versions.map(({ afterFirstRun }) => afterFirstRun)).toEqual([false, false, true])
    expect(found?.planned).toBe(12)
  })

  test.each([
    ['open', [], { closed: false, abandoned: false, withdrawn: true }],
    ['running', ['a1'], { closed: true, abandoned: true, withdrawn: false }],
    ['closed', ['a1', 'a2'], { closed: false, abandoned: true, withdrawn: false }],
  ] as const)('that is %s can be ended so', async (_, runs, ends) => {
    for (const [status, isPossible] of Object.entries(ends)) {
      const { tenant, id } = await planned({ planned: 2 })
      for (const run of runs) await replicas[0].plans.number(tenant, id, newRun(run))
      const outcome = await replicas[1].plans.end(tenant, id, status as keyof typeof ends, NOW)
      const isAlready = status === 'closed' && runs.length === 2
      expect(outcome.outcome, status).toBe(isPossible || isAlready ? 'done' : 'wrong-state')
    }
  })

  test('is assessed once, by whichever replica comes first', async () => {
    const { tenant, id } = await planned({ planned: 1 })
    await replicas[0].plans.number(tenant, id, newRun('a1'))
    const outcomes = await Promise.all(
      replicas.map(({ plans }) => {
        const { assessment, runs, response } = issuanceOf({ tenant, key: null })
        return plans.issue(id, { tenant, assessment, runs, response })
      }),
    )
    expect(outcomes.map(({ outcome }) => outcome).sort()).toEqual(['assessed', 'issued'])
    const listed = await replicas[0].assessments.list(tenant, { limit: 10 })
    const found = await replicas[0].plans.find(tenant, id)
    expect(listed.map((each) => each.id)).toEqual([found?.assessment])
    expect(outcomes.find(({ outcome }) => outcome === 'assessed')).toMatchObject({ assessment: found?.assessment })
  })

  test('is not assessed while its runs are open', async () => {
    const { tenant, id } = await planned({ planned: 2 })
    await replicas[0].plans.number(tenant, id, newRun('a1'))
    const { assessment, runs, response } = issuanceOf({ tenant, key: null })
    const outcome = await replicas[0].plans.issue(id, { tenant, assessment, runs, response })
    expect(outcome).toEqual({ outcome: 'wrong-state', status: 'running' })
    expect(await replicas[0].assessments.list(tenant, { limit: 10 })).toEqual([])
  })
})

test('plans for a product are found in the order of registration, by tenant and by publisher', async () => {
  const [tenant, other] = [uuidIds.next(), uuidIds.next()]
  const publisher = `Workshop ${tenant}`
  const made = []
  for (const product of ['silencer', 'filter', 'silencer']) {
    made.push(await planned({ publisher, keys: { product, vehicle: 'machine', quantity: 'wheel-power' } }, tenant))
  }
  await planned({ publisher }, other)
  await replicas[0].plans.number(tenant, made[2]?.id ?? '', newRun('a1'))
  const own = await replicas[1].plans.siblings(tenant, 'silencer')
  expect(own.map(({ id, logged, isPublished }) => [id, logged, isPublished])).toEqual([
    [made[0]?.id, 0, false],
    [made[2]?.id, 1, false],
  ])
  expect(await replicas[1].plans.ofPublisher(publisher, 'silencer')).toHaveLength(3)
  expect(await replicas[1].plans.ofPublisher(publisher, 'exhaust')).toEqual([])
})
