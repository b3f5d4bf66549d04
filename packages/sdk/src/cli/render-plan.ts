/** Plans and their records as a person reads them. Pure. */
import type { Claim, LoggedRun, Plan, PlanRecord, PlanStatus, Registration } from '../contract/index.ts'
import { plannedClaims, plannedSlots } from '../contract/plan-order.ts'
import { statementOf } from '../engine/claims/claim-words.ts'
import type { Tint } from './look.ts'
import type { Page } from './page.ts'
import { counted } from './text.ts'

const statusWords: Readonly<Record<PlanStatus, string>> = {
  open: 'OPEN: no run is logged yet',
  running: 'RUNNING: runs are being logged',
  closed: 'CLOSED: all runs are logged; it can be assessed',
  assessed: 'ASSESSED',
  abandoned: 'ABANDONED: given up after its first run',
  withdrawn: 'WITHDRAWN: taken back before its first run',
}

const registrationWords: Readonly<Record<Registration, string>> = {
  'pre-registered': 'Pre-registered: the plan is in the log before every run.',
  amended: 'Amended after the first run: it no longer counts as pre-registered.',
  none: 'Not pre-registered.',
}

/** Adds a plan: what it freezes, and the order of the runs. */
export function sayPlan(page: Page, plan: Plan): void {
  const { product, vehicle, changes, protocol } = plan
  page.say(`Plan for ${product}`, { tint: 'heading' })
  page.say(`Machine: ${vehicle.label ?? vehicle.id}. Protocol ${protocol}.`)
  for (const { what, role } of changes) page.say(`${role === 'under-test' ? 'Under test' : 'Also changed'}: ${what}.`)
  sayOrder(page, plan)
  sayPlannedClaims(page, plan)
  const { exclusionRules } = plan
  page.section('Runs that are left out')
  page.say(
    exclusionRules.length === 0
      ? 'None: every measured run counts.'
      : `Those that the rules ${exclusionRules.join(', ')} leave out; the rules see neither side nor gain.`,
    { first: '  ' },
  )
}

function sayOrder(page: Page, plan: Plan): void {
  const slots = plannedSlots(plan)
  const count = (side: string) => slots.filter((slot) => slot.side === side).length
  page.section('Order of the runs')
  const drawn = plan.draw === undefined ? '' : `, drawn from the seed ${plan.draw.seed}`
  page.say(`${count('baseline')} baseline and ${count('modified')} modified runs${drawn}.`, { first: '  ' })
  for (const mounting of new Set(plan.blocks.map((block) => block.mounting))) {
    const blocks = plan.blocks.filter((block) => block.mounting === mounting)
    const conditioning = plan.conditioningRuns === 0 ? '' : `${plan.conditioningRuns} conditioning, then `
    const order = blocks.map(({ side, runs }) => `${runs} ${side}`).join(', ')
    page.say(`${mounting}: ${conditioning}${order}`, { first: `  ${page.look.signs.bullet} ` })
  }
}

function sayPlannedClaims(page: Page, plan: Plan): void {
  const [primary, ...further] = plannedClaims(plan)
  page.section('Claims')
  if (primary !== undefined) sayClaim(page, 'Primary', primary)
  for (const claim of further) sayClaim(page, 'Further', claim)
}

function sayClaim(page: Page, kind: string, claim: Claim): void {
  page.say(`${kind}, ${claim.id}: ${statementOf(claim)}`, { first: `  ${page.look.signs.bullet} ` })
}

/** Adds the record of a plan: where it stands, its receipts, and the plan itself. */
export function sayPlanRecord(page: Page, record: PlanRecord): void {
  const { id, status, registration, registeredAt, publisher, logIndex, planned, remaining, challenge } = record
  page.say(`Plan ${id}`, { tint: 'heading' })
  page.say(statusWords[status], { tint: statusTint(status) })
  page.say(`Registered by ${publisher} at ${registeredAt}, log entry ${logIndex}.`)
  page.say(registrationWords[registration])
  if (remaining > 0) {
    page.say(`${counted(remaining, 'measured run')} of ${planned} still to be made.`)
    page.put(`Challenge: ${page.look.words(challenge)}`)
  }
  if (record.assessment !== null) page.say(`Summary: ${record.assessment}`)
  for (const { version, at, reason, afterFirstRun } of record.amendments) {
    page.say(`Version ${version} at ${at}${afterFirstRun ? ', after the first run' : ''}: ${reason}`, {
      first: `  ${page.look.signs.middling} `,
    })
  }
  sayRuns(page, record.runs)
  page.put('')
  sayPlan(page, record.terms)
}

function statusTint(status: PlanStatus): Tint {
  if (status === 'abandoned' || status === 'withdrawn') return 'quiet'
  return status === 'open' || status === 'running' ? 'middling' : 'good'
}

function sayRuns(page: Page, runs: readonly LoggedRun[]): void {
  if (runs.length === 0) return
  page.section(`Logged runs: ${runs.length}`)
  for (const { number, run, payload, excludedBy } of runs) {
    const leftOut = excludedBy === null ? '' : `, left out (${excludedBy}): make it again`
    page.say(`${number}. ${run}, log entry ${payload.logIndex}, ${payload.receivedAt}${leftOut}`, { first: '  ' })
  }
}
