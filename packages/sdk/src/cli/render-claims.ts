/** Judgements of claims as a person reads them. Pure. */
import type { ClaimJudgement, Finding, Judgement } from '../contract/index.ts'
import type { Look, Tint } from './look.ts'
import type { Page } from './page.ts'
import { rangeText, signed } from './quantity-text.ts'
import { sayScope } from './render-scope.ts'
import { capitalised } from './text.ts'

const judgementTints: Readonly<Record<Judgement, Tint>> = {
  supported: 'good',
  contradicted: 'bad',
  undecided: 'middling',
  'not-assessable': 'quiet',
}

/** How the limits of a judgement are shown: what the checks found, and whether every sentence is asked for. */
export interface LimitsShown {
  readonly findings: readonly Finding[]
  readonly full: boolean
}

/** Adds one paragraph per claim: the judgement, the claim, and why; the sentence of a decided claim carries its interval. */
export function sayClaims(page: Page, claims: readonly ClaimJudgement[], limits: LimitsShown): void {
  if (claims.length === 0) return
  page.section(claims.length === 1 ? 'The claim' : 'The claims')
  for (const claim of claims) sayClaim(page, claim, limits)
}

function sayClaim(page: Page, claim: ClaimJudgement, limits: LimitsShown): void {
  const { look } = page
  const head = `${claim.judgement.replace('-', ' ').toUpperCase()}: ${claim.statement}`
  page.say(head, { first: `  ${signOf(claim.judgement, look)} `, tint: judgementTints[claim.judgement] })
  page.say(claim.sentence, { first: '    ' })
  const range = rangeText(claim.interval, claim.unit, look)
  if (range !== '' && claim.reason !== null) page.say(`95 % interval ${range}.`, { first: '    ' })
  const asMounted = claim.asMounted === null || range !== '' ? '' : rangeText(claim.asMounted, claim.unit, look)
  if (asMounted !== '') page.say(`For these mountings only: ${asMounted}.`, { first: '    ' })
  if (claim.reason !== null || (claim.bandMean ?? null) === null) sayExtremes(page, claim)
  if (claim.conditional !== null) page.say(claim.conditional.sentence, { first: '    ' })
  if (claim.judgement === 'supported' || claim.judgement === 'contradicted') sayLimits(page, claim, limits)
}

/** A judgement that is quoted alone carries its limits with it. */
function sayLimits(page: Page, { scope }: ClaimJudgement, limits: LimitsShown): void {
  if (scope.length === 0) return
  page.say('Only within these limits:', { first: '    ' })
  sayScope(page, scope, { ...limits, indent: '    ' })
}

/** The best speed of a range says nothing about the rest of it, so both ends stand side by side. */
function sayExtremes(page: Page, { smallest, largest, unit }: ClaimJudgement): void {
  const { look } = page
  const parts = [
    ...(smallest === null
      ? []
      : [`smallest gain ${signed(smallest.value, 2, look)} ${unit} at ${smallest.at_rpm} rpm`]),
    ...(largest === null ? [] : [`largest ${signed(largest.value, 2, look)} ${unit} at ${largest.at_rpm} rpm`]),
  ]
  if (parts.length > 0) page.say(`${capitalised(parts.join(', '))}.`, { first: '    ' })
}

function signOf(judgement: Judgement, { signs }: Look): string {
  return { supported: signs.good, contradicted: signs.bad, undecided: signs.open, 'not-assessable': signs.minus }[
    judgement
  ]
}
