import type { Comparison } from '../contract/comparison.ts'
import { comparisonOfRun } from '../contract/read-run-check.ts'
import type { Finding } from '../contract/result.ts'
import type { Run } from '../contract/run.ts'
import type { RunCheckReport, RunCheckRequest } from '../contract/run-check.ts'
import { evidenceOf } from './evidence/evidence.ts'
import { readingOf } from './evidence/trace.ts'
import { readSession } from './inputs/session.ts'
import { findingOf } from './protocol/check.ts'
import { protocolOf } from './protocol/protocol-of.ts'
import { cautionsOf } from './result/cautions.ts'

/**
 * What one run shows by itself: the findings that need no second side, while the machine is still strapped down.
 *
 * The run is taken as a measured one, whatever its purpose: the question is whether it could be used.
 *
 * @param request the run and the little beside it that its checks can use; as `readRunCheck` accepts it.
 * @returns findings in the order of the protocol, how the trace was read, and the cautions. The same input gives the same
 *   answer.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL`; never on weak evidence.
 */
export function checkRun(request: RunCheckRequest): RunCheckReport {
  const { data, rows } = protocolOf(request.protocol)
  const measured: RunCheckRequest = { ...request, run: { ...request.run, purpose: 'measured' } }
  const evidence = evidenceOf(readSession(comparisonOfRun(measured)))
  const findings = rows.filter(({ check }) => check.isRunCheck === true).map((row) => findingOf(row, evidence))
  const [run] = evidence.session.used
  const trace = run === undefined ? undefined : evidence.traces.get(run)
  const against = findings.filter(({ status }) => status === 'breached')
  return {
    protocol: data.id,
    run: request.run.id,
    isUsable: against.every(({ severity }) => severity !== 'gate' && severity !== 'run-level'),
    verdict: verdictOf(request.run, findings),
    findings,
    trace: run === undefined || trace === undefined ? null : readingOf(run, trace),
    cautions: cautionsOf(evidence.session, findings),
  }
}

function verdictOf({ id }: Run, findings: readonly Finding[]): string {
  const named = (status: Finding['status']) => findings.filter((each) => each.status === status)
  const [breached, marginal, open] = [named('breached'), named('marginal'), named('not-evidenced')]
  const list = (some: readonly Finding[]) => some.map(({ check }) => check).join(', ')
  if (breached.length > 0) return `Run ${id} does not hold: ${list(breached)}.`
  if (marginal.length > 0) return `Run ${id} can be used; mind ${list(marginal)}.`
  if (open.length === findings.length) return `Nothing of run ${id} can be checked: its evidence is missing.`
  return open.length === 0
    ? `Run ${id} is sound in all that one run shows.`
    : `Nothing speaks against run ${id}; not checkable: ${list(open)}.`
}

/**
 * Every measured run of a comparison by itself, with what stands beside it there.
 *
 * @param comparison a comparison that `readComparison` accepted.
 * @returns one report per measured run, in the order of the document.
 * @throws EngineError `ERR_UNKNOWN_PROTOCOL`.
 */
export function checkEachRun(comparison: Comparison): readonly RunCheckReport[] {
  return comparison.runs
    .filter(({ purpose }) => purpose === 'measured')
    .map((run) => checkRun(runCheckRequest(run, comparison)))
}

function runCheckRequest(run: Run, comparison: Comparison): RunCheckRequest {
  const mounting = comparison.mountings?.find(({ id }) => id === run.mounting)
  const setup = { ...mounting?.setup, ...run.setup }
  const vehicle = comparison.vehicles?.find(({ id }) => id === setup.vehicle)
  const driveTyre = comparison.driveTyres?.find(({ id }) => id === setup.driveTyre)
  const { protocol, reportIn, facility, claims } = comparison
  return {
    protocol,
    run,
    ...(reportIn === undefined ? {} : { reportIn }),
    ...(facility === undefined ? {} : { facility }),
    ...(vehicle === undefined ? {} : { vehicle }),
    ...(driveTyre === undefined ? {} : { driveTyre }),
    ...(mounting === undefined ? {} : { mounting }),
    ...(claims === undefined ? {} : { claims }),
  }
}
