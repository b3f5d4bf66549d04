// What the service is held against: hono with nothing behind it. GET answers "hello"; POST parses the JSON body and no more.
// Prints its port.
import { serve } from '@hono/node-server'
import { Hono } from 'hono'

const app = new Hono()
app.get('/', (context) => context.text('hello'))
app.post('/', async (context) => {
  JSON.parse(await context.req.text())
  return context.text('parsed', 201)
})
serve({ fetch: app.fetch, hostname: '127.0.0.1', port: 0 }, ({ port }) => {
  process.stdout.write(`${port}\n`)
})
