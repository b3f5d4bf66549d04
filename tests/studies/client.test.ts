/** Studies through the client, against the fake service of the testing kit. */
import { createFakeService, failures, simulateStudy } from '@fairpull/sdk/testing'
import { expect, test } from 'vitest'
import { failureOf } from '../client/clients.ts'

const { study } = simulateStudy({ seed: 8, design: 'A|A|A|A', runsPerMounting: 2, channels: 'power-only' })

async function all<T>(list: AsyncIterable<T>): Promise<T[]> {
  const entries: T[] = []
  for await (const entry of list) entries.push(entry)
  return entries
}

test('a study is created, read, listed and charted', async () => {
  const fake = await createFakeService()
  const { studies } = fake.client()
  const created = await studies.create(study)
  expect(created.result.record).toMatchObject({ study: created.id, remounting: { status: 'measured' } })
  expect(await studies.get(created.id)).toEqual(created)
  const listed = await all(studies.list())
  expect(listed).toEqual([
    {
      id: created.id,
      registeredAt: created.registeredAt,
      facility: 'simulated-cell',
      hasRecord: true,
      verdict: created.result.verdict,
    },
  ])
  expect((await studies.charts('simulated-cell')).charts.map(({ points }) => points.length)).toEqual([1, 1])
})

test('a retry after a failure stores no second study', async () => {
  const fake = await createFakeService()
  const { studies } = fake.client()
  fake.failNext(failures.lostAnswer({ operation: 'createStudy' }))
  await studies.create(study)
  expect(await all(studies.list())).toHaveLength(1)
})

test('a refusal names the member', async () => {
  const fake = await createFakeService()
  const wrong = { ...study, appliesTo: { ...study.appliesTo, class: '' } }
  expect(await failureOf(fake.client().studies.create(wrong))).toMatchObject({
    status: 422,
    errors: [{ pointer: '/appliesTo/class', code: 'ERR_BAD_TEXT' }],
  })
})
