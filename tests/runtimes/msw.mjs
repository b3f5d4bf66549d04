// The handlers of the testing kit under the version of Mock Service Worker that this folder's `msw` is. Prints the verdict.
import { Fairpull } from '@fairpull/sdk'
import { createFakeService, twoFigures } from '@fairpull/sdk/testing'
import { fairpullHandlers } from '@fairpull/sdk/testing/msw'
import { setupServer } from 'msw/node'

const fake = await createFakeService()
const server = setupServer(...fairpullHandlers(fake))
server.listen({ onUnhandledRequest: 'error' })
const fairpull = new Fairpull({ baseUrl: fake.baseUrl, apiKey: fake.apiKey, trust: fake.trust })
const { report } = await fairpull.assessments.create(twoFigures)
const asset = await fetch(`${fake.baseUrl}/v1/protocols`)
server.close()
process.stdout.write(JSON.stringify({ verdict: report.verdict, status: asset.status, received: fake.received.length }))
