/** A plan registered from the examples of the document, for operations whose address names one. */
import { planExamples, planRunExample } from '../../packages/service/src/http/plan-examples.ts'
import type { TestApp } from './test-app.ts'

/** Identity of a fresh plan without runs; or with one, and closed. */
export async function examplePlan(app: TestApp, isClosed: boolean): Promise<string> {
  const send = (path: string, body?: unknown) =>
    app.request(path, {
      method: 'POST',
      headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    })
  const { id } = await (await send('/v1/plans', planExamples.baselineModifiedBaseline)).json()
  if (isClosed) {
    await send(`/v1/plans/${id}/runs`, planRunExample)
    await send(`/v1/plans/${id}/closure`)
  }
  return id
}
