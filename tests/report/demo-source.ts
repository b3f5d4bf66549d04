/** Sources of pages made from the demo's comparisons, without a service: assessed once per file. */
import { assess } from '../../packages/sdk/src/local/index.ts'
import { type DemoName, demoComparison } from '../../packages/service/demo/scenario/index.ts'
import type { ReportSource } from '../../packages/service/src/report/report-source.ts'

/** An issue of nobody in particular. */
export const issue = {
  id: '01890000-0000-7000-8000-000000000001',
  issuer: 'Test service',
  submitter: 'Workshop A',
  issuedAt: '2026-05-02T09:30:00Z',
  supersedes: null,
  registration: 'none',
  receipts: [],
} as const

/** The source of a demo comparison, published. The JWS stands for itself: pages show it and do not read it. */
export async function demoSource(name: DemoName): Promise<ReportSource> {
  const comparison = demoComparison(name, 1)
  const result = await assess(comparison)
  return { payload: { issue, result }, jws: 'e30.e30.AAAA', status: 'published', comparison }
}
