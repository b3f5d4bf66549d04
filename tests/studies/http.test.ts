/** Studies through the whole application, and their records under a plan. */
import type { FacilityRecord, RegisteredStudy, Study, StudyCharts } from '@fairpull/sdk/contract'
import { assessStudy } from '@fairpull/sdk/engine'
import { noDisclosure, simulateSession, simulateStudy } from '@fairpull/sdk/testing'
import { beforeEach, describe, expect, test } from 'vitest'
import { studyExamples } from '../../packages/service/src/http/study-examples.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { createRegister, play, type Register } from '../plans/support/play.ts'

const study: Study = simulateStudy({
  ...{ seed: 3, design: 'A|A|A|A|A', runsPerMounting: 2, channels: 'power-only' },
  pace: { cadence_s: 180, cadenceSd_s: 8, swap_s: 900, remounting_s: 2700, conditioningRuns: 3 },
}).study

let register: Register

beforeEach(async () => {
  register = await createRegister()
})

const create = (body: unknown) => register.send<RegisteredStudy>('POST', '/v1/studies', body)

/** A request of another organisation, or under a key for repetitions. */
async function ask(
  path: string,
  init: { readonly key?: string; readonly body?: unknown; readonly once?: string } = {},
) {
  const { key = register.app.key, body, once } = init
  const response = await register.app.request(path, {
    method: body === undefined ? 'GET' : 'POST',
    headers: {
      authorization: `Bearer ${key}`,
      'content-type': 'application/json',
      ...(once === undefined ? {} : { 'idempotency-key': once }),
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  })
  return { status: response.status, headers: response.headers, body: await response.json() }
}

describe('POST /v1/studies', () => {
  test('answers what the engine makes of it, the record under the identity of the study', async () => {
    const { status, body, headers } = await create(study)
    expect(status).toBe(201)
    expect(headers.get('location')).toBe(`/v1/studies/${body.id}`)
    const local = assessStudy(study)
    expect(body.result).toEqual({ ...local, record: { ...local.record, study: body.id } })
  })

  test('too little is answered, not refused', async () => {
    const { status, body } = await create(studyExamples.beginning)
    expect(status).toBe(201)
    expect(body.result.record).toBeNull()
    expect(body.result.verdict).toMatch(/^Not enough for a facility record\./)
  })

  test('a repetition gets the first answer, another study under the key is refused', async () => {
    const first = await ask('/v1/studies', { body: study, once: 'key-1' })
    const again = await ask('/v1/studies', { body: study, once: 'key-1' })
    expect(again.body).toEqual(first.body)
    expect(again.headers.get('idempotency-replayed')).toBe('true')
    const other = await ask('/v1/studies', { body: { ...study, name: 'another' }, once: 'key-1' })
    expect(other).toMatchObject({ status: 422, body: { code: 'ERR_IDEMPOTENCY_KEY_REUSED' } })
    expect((await ask('/v1/studies')).body.items).toHaveLength(1)
  })

  test('what cannot be read is named with its place', async () => {
    const { status, body } = await ask('/v1/studies', { body: { ...study, band: { from: study.band.from } } })
    expect(status).toBe(422)
    expect(body.errors).toEqual([expect.objectContaining({ pointer: '/band/to', code: 'ERR_MISSING_MEMBER' })])
    const unknown = await ask('/v1/studies', { body: { ...study, protocol: 'no-such@1' } })
    expect(unknown.body.errors).toEqual([expect.objectContaining({ pointer: '/protocol', code: 'ERR_NOT_IN_LIST' })])
  })
})

describe('studies are read by their own organisation', () => {
  test('one by one, byte for byte as they were answered', async () => {
    const { body, headers } = await create(study)
    const read = await ask(`/v1/studies/${body.id}`)
    expect(read.body).toEqual(body)
    expect(read.headers.get('etag')).toBe(headers.get('etag'))
  })

  test('page by page, newest first', async () => {
    const ids: string[] = []
    for (let count = 0; count < 3; count++) ids.unshift((await create(studyExamples.beginning)).body.id)
    const { body: first } = await ask('/v1/studies?limit=2')
    expect(first.items.map(({ id }: { id: string }) => id)).toEqual(ids.slice(0, 2))
    expect(first.items[0]).toMatchObject({ facility: 'cell-1', hasRecord: false })
    const { body: second } = await ask(`/v1/studies?limit=2&cursor=${first.nextCursor}`)
    expect(second).toMatchObject({ items: [{ id: ids[2] }], nextCursor: null })
  })

  test('and by no other', async () => {
    const { body } = await create(study)
    register.app.admit('fp_other', { tenant: 'tenant-b' })
    expect((await ask(`/v1/studies/${body.id}`, { key: 'fp_other' })).status).toBe(404)
    expect((await ask('/v1/studies', { key: 'fp_other' })).body.items).toEqual([])
    const charts = await ask('/v1/study-charts?facility=simulated-cell', { key: 'fp_other' })
    expect(charts.body).toEqual({ facility: 'simulated-cell', charts: [] })
  })
})

describe('GET /v1/study-charts', () => {
  test('charts the studies of one facility, the oldest first', async () => {
    const first = (await create(study)).body.id
    await create({ ...study, facility: { ...study.facility, id: 'another cell' } })
    const second = (await create({ ...study, name: 'summer' })).body.id
    const { body } = await register.send<StudyCharts>('GET', '/v1/study-charts?facility=simulated-cell')
    expect(body.charts.map(({ of, points }) => [of, points.map((point) => point.study)])).toEqual([
      ['runs', [first, second]],
      ['mounting-means', [first, second]],
    ])
  })

  test('asks which facility is meant', async () => {
    expect(await ask('/v1/study-charts')).toMatchObject({ status: 400, body: { code: 'ERR_PARAMETER' } })
  })
})

describe('the record of a study under a plan', () => {
  const session = simulateSession({
    ...{ seed: 21, design: 'A|B', runsPerBlock: 2, channels: 'power-only', disclosure: noDisclosure },
    pace: { cadence_s: 180, cadenceSd_s: 8, swap_s: 900, remounting_s: 2700, conditioningRuns: 3 },
    gain: { shape: 'uniform', percent: 6 },
    claims: [bandMeanClaim('power', percent(1))],
  }).comparison

  async function playedWith(record: FacilityRecord) {
    const facility = { id: 'simulated-cell', ...session.facility, record }
    const { summary } = await play(register, { ...session, facility })
    const { plan, claims, budget } = summary?.payload.result ?? {}
    const kept = plan?.rules.find(({ rule }) => rule === 'record-issued')?.kept
    return { kept, judgement: claims?.[0]?.judgement, mounting: budget?.find(({ term }) => term === 'mounting') }
  }

  async function issuedRecord(): Promise<FacilityRecord> {
    const { record } = (await create(study)).body.result
    if (record === null) throw new Error('five mountings give a record')
    return record
  }

  test('counts as issued by the register, and as measured', async () => {
    const played = await playedWith(await issuedRecord())
    expect(played).toMatchObject({ kept: true, judgement: 'supported', mounting: { status: 'measured' } })
  })

  test('with one value made smaller it is an uploaded one, and nothing is supported', async () => {
    const record = await issuedRecord()
    const remounting = { relativeSd: 0.0001, degreesOfFreedom: 4, status: 'measured' } as const
    expect(await playedWith({ ...record, remounting })).toMatchObject({ kept: false, judgement: 'undecided' })
  })

  test('of another facility it is an uploaded one', async () => {
    const elsewhere = { ...study, facility: { ...study.facility, id: 'another cell' } }
    const { record } = (await create(elsewhere)).body.result
    if (record === null) throw new Error('five mountings give a record')
    expect(await playedWith(record)).toMatchObject({ kept: false })
  })

  test('of another organisation, or under a name that the register never gave, it is an uploaded one', async () => {
    const record = await issuedRecord()
    expect(await playedWith({ ...record, study: 'house study' })).toMatchObject({ kept: false })
    register.app.admit('fp_other', { tenant: 'tenant-b', organisation: 'Workshop B' })
    const { body } = await ask('/v1/studies', { key: 'fp_other', body: study })
    expect(await playedWith(body.result.record)).toMatchObject({ kept: false })
  })
})
