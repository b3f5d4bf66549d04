/** A session played through the service as a rig would: register, send each run as it is made, close, have it assessed. */
import type {
  Claim,
  Comparison,
  FacilityRecord,
  IssuedSummary,
  Plan,
  PlanRecord,
  PlanRequest,
  Run,
  RunLogged,
} from '@fairpull/sdk/contract'
import { assess, protocols } from '@fairpull/sdk/engine'
import { createTestApp, type TestApp } from '../../support/test-app.ts'

/** A register with the real engine behind it, and a clock that a test sets. */
export interface Register {
  readonly app: TestApp
  /** Sets the time. [ms since 1970] */
  readonly setTime: (time_ms: number) => void
  /** Sends a request and answers status, body and header fields. */
  readonly send: <T = Record<string, unknown>>(method: string, path: string, body?: unknown) => Promise<Sent<T>>
}

/** An answer. */
export interface Sent<T> {
  readonly status: number
  readonly body: T
  readonly headers: Headers
}

/**
 * A fresh register.
 *
 * @param issuedRecords facility records it issued, by study
 * @param isChecked whether every answer is held against the OpenAPI document, which takes longer than the answer itself
 */
export async function createRegister(
  issuedRecords: Readonly<Record<string, FacilityRecord>> = {},
  isChecked = true,
): Promise<Register> {
  const clock = { now_ms: Date.parse('2026-05-02T06:00:00Z') }
  const app = await createTestApp({
    ...{ assess, protocols, issuedRecords },
    now: () => new Date(clock.now_ms),
    bodyLimit: 4 * 1024 * 1024,
  })
  return {
    app,
    setTime: (time_ms) => {
      clock.now_ms = time_ms
    },
    send: async (method, path, body) => {
      const request = {
        method,
        headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      }
      const response = await (isChecked
        ? app.request(path, request)
        : app.fetch(new Request(`http://localhost${path}`, request)))
      return { status: response.status, body: await response.json(), headers: response.headers }
    },
  }
}

/** A plan that asks for exactly the measured runs of a comparison, in their order. */
export function planFor(comparison: Comparison, changed: Partial<PlanRequest> = {}): PlanRequest {
  const [primary, ...further] = comparison.claims ?? []
  const [vehicle] = comparison.vehicles ?? []
  const { facility, driveTyres, changes, reportIn, protocol } = comparison
  if (primary === undefined || vehicle === undefined || facility === undefined)
    throw new TypeError('not a whole session')
  const hasOrder = changed.blocks !== undefined || changed.draw !== undefined
  return {
    product: 'simulated part',
    ...{ protocol, facility, vehicle, primary },
    ...(reportIn === undefined ? {} : { reportIn }),
    ...(driveTyres === undefined ? {} : { driveTyres }),
    changes: changes ?? [],
    ...(further.length === 0 ? {} : { further }),
    conditioningRuns: 3,
    exclusionRules: [],
    ...(hasOrder ? {} : { blocks: blocksOf(comparison.runs) }),
    ...changed,
  }
}

/** The blocks that measured runs make. */
export function blocksOf(runs: readonly Run[]): Plan['blocks'] {
  const blocks: Plan['blocks'][number][] = []
  for (const { side, mounting = '', purpose } of runs) {
    if (purpose !== 'measured') continue
    const last = blocks.at(-1)
    if (last?.side === side && last.mounting === mounting) blocks[blocks.length - 1] = { ...last, runs: last.runs + 1 }
    else blocks.push({ side, mounting, runs: 1 })
  }
  return blocks
}

/** What was sent and what came of it. */
export interface Played {
  readonly plan: PlanRecord
  readonly runs: readonly Sent<RunLogged>[]
  /** The summary; undefined when the plan would not be assessed. */
  readonly summary: IssuedSummary | undefined
}

/** What a player may do otherwise than an honest one. */
export interface PlayOptions {
  readonly plan?: Partial<PlanRequest>
  /** Claims beside the registered ones. */
  readonly exploratory?: readonly Claim[]
  /** When the plan is registered; ten minutes before the first run when absent. [ms since 1970] */
  readonly registeredAt_ms?: number
}

const MINUTE_MS = 60_000

/** Registers a plan. */
export async function registered(register: Register, plan: PlanRequest): Promise<PlanRecord> {
  const { status, body } = await register.send<PlanRecord>('POST', '/v1/plans', plan)
  if (status !== 201) throw new Error(`the plan was refused: ${JSON.stringify(body)}`)
  return body
}

/** Sends runs of a comparison under a plan, each a minute after its start. */
export async function sendRuns(
  register: Register,
  { id, challenge }: PlanRecord,
  { runs, mountings = [] }: Comparison,
): Promise<readonly Sent<RunLogged>[]> {
  const answers: Sent<RunLogged>[] = []
  const described = new Set<string>()
  for (const run of runs) {
    const mounting = mountings.find((each) => each.id === run.mounting && !described.has(each.id))
    if (mounting !== undefined) described.add(mounting.id)
    if (run.startedAt !== undefined) register.setTime(Date.parse(run.startedAt) + MINUTE_MS)
    const body = { challenge, run, ...(mounting === undefined ? {} : { mounting }) }
    answers.push(await register.send<RunLogged>('POST', `/v1/plans/${id}/runs`, body))
  }
  return answers
}

/** Plays a whole session. */
export async function play(register: Register, comparison: Comparison, options: PlayOptions = {}): Promise<Played> {
  const first_ms = Math.min(...comparison.runs.map(({ startedAt }) => Date.parse(startedAt ?? '')))
  register.setTime(options.registeredAt_ms ?? first_ms - 10 * MINUTE_MS)
  const plan = await registered(register, planFor(comparison, options.plan))
  const runs = await sendRuns(register, plan, comparison)
  return { plan, runs, summary: await assessed(register, plan.id, options.exploratory) }
}

/** Closes a plan where its runs have not, and has it assessed. */
export async function assessed(
  register: Register,
  id: string,
  claims: readonly Claim[] = [],
): Promise<IssuedSummary | undefined> {
  await register.send('POST', `/v1/plans/${id}/closure`)
  const { status, body } = await register.send<IssuedSummary>('POST', `/v1/plans/${id}/assessment`, { claims })
  return status === 201 ? body : undefined
}
