// Serves the application. FAIRPULL_URL and FAIRPULL_KEY name the service that signs; FAIRPULL_TRUST a file with the keys
// that its answers are checked against.
import { readFile } from 'node:fs/promises'
import process from 'node:process'
import { Fairpull } from '@fairpull/sdk'
import { serve } from '@hono/node-server'
import { createApp } from './app.mjs'

const {
  FAIRPULL_URL: baseUrl = 'http://127.0.0.1:8787',
  FAIRPULL_KEY: apiKey,
  FAIRPULL_TRUST,
  PORT = '8080',
} = process.env
const trust = FAIRPULL_TRUST === undefined ? {} : { trust: JSON.parse(await readFile(FAIRPULL_TRUST, 'utf8')) }
const key = apiKey === undefined ? {} : { apiKey }

const app = createApp(new Fairpull({ baseUrl, ...key, ...trust }))
serve({ fetch: app.fetch, hostname: '127.0.0.1', port: Number(PORT) }, ({ port }) => {
  process.stdout.write(`http://127.0.0.1:${port}\n`)
})
