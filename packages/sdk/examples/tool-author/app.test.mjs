// The application against the testing kit: the service in memory with the real engine, and failures to be played.
import assert from 'node:assert/strict'
import { beforeEach, describe, test } from 'node:test'
import { createFakeService, failures, recordedSession, twoFigures } from '@fairpull/sdk/testing'
import { createApp } from './app.mjs'

const session = recordedSession({ percent: 4, claimed: 2 })
const { protocol, facility } = session
const mounting = session.mountings[0]
const run = session.runs.find(({ purpose }) => purpose === 'measured')

let fake
let post
beforeEach(async () => {
  fake = await createFakeService()
  const app = createApp(fake.client())
  post = async (path, body) => {
    const init = { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }
    const response = await app.request(path, init)
    return { status: response.status, body: await response.json() }
  }
})

describe('a run by itself', () => {
  test('that is sound can be used', async () => {
    const { status, body } = await post('/runs', { protocol, run, facility, mounting })
    assert.equal(status, 200)
    assert.equal(body.isUsable, true)
  })

  test('that went slack in the middle is named, with what to do', async () => {
    const [speed, power] = [run.channels.engineSpeed, run.channels.wheelPower]
    const cut = { ...power, values: power.values.slice(0, 5) }
    const short = { ...run, channels: { engineSpeed: { ...speed, values: speed.values.slice(0, 5) }, wheelPower: cut } }
    const { body } = await post('/runs', { protocol, run: short, facility, mounting, claims: session.claims })
    assert.equal(body.isUsable, false)
    assert.ok(body.toPutRight.some(({ check, remedy }) => check === 'trace-sound' && remedy !== null))
  })
})

describe('a comparison', () => {
  test('is scored in this process, and nothing is sent', async () => {
    const { status, body } = await post('/scores', session)
    assert.equal(status, 200)
    assert.equal(body.claims[0].judgement, 'supported')
    assert.ok(body.score > 50)
    assert.equal(fake.received.length, 0)
  })

  test('of two figures is an answer too, and supports nothing', async () => {
    const { status, body } = await post('/scores', twoFigures)
    assert.equal(status, 200)
    assert.notEqual(body.standing, 'valid')
    assert.equal(body.claims[0].judgement, 'undecided')
    assert.ok(body.nextSteps.length > 0)
  })

  test('that cannot be read is refused at the member that is wrong', async () => {
    const { status, body } = await post('/scores', { ...twoFigures, protocol: 7 })
    assert.equal(status, 422)
    assert.equal(body.problems[0].pointer, '/protocol')
  })
})

describe('a signed summary', () => {
  test('says what the score said', async () => {
    const scored = await post('/scores', session)
    const { status, body } = await post('/uploads/7/summary', session)
    assert.equal(status, 201)
    const { id, summary, ...shown } = body
    assert.deepEqual(shown, scored.body)
    assert.equal(summary.split('.').length, 3)
    assert.ok(id)
  })

  test('is made once, however often the upload is sent', async () => {
    const [first, second] = [await post('/uploads/7/summary', session), await post('/uploads/7/summary', session)]
    assert.equal(first.body.id, second.body.id)
  })

  test('comes also after a connection that broke', async () => {
    fake.failNext(failures.lostAnswer())
    assert.equal((await post('/uploads/7/summary', twoFigures)).status, 201)
    assert.equal(fake.received.length, 2)
  })

  test('that was altered on its way is not passed on', async () => {
    fake.failNext(failures.tamperedSummary())
    const { status, body } = await post('/uploads/7/summary', twoFigures)
    assert.equal(status, 502)
    assert.equal(body.summary, undefined)
  })

  test('of a service that is away is promised for later', async () => {
    fake.failNext(failures.unavailable({ times: 100 }))
    const { status, body } = await post('/uploads/7/summary', twoFigures)
    assert.equal(status, 503)
    assert.equal(body.code, 'ERR_STORE_UNAVAILABLE')
  })
})
