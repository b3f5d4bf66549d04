/** docs/plans.md names what there is: every operation of plans, every rule, every figure it quotes. */
import { readFileSync } from 'node:fs'
import { planRuleReportSchema } from '@fairpull/sdk/contract/schemas'
import { checkOfRule } from '@fairpull/sdk/engine'
import { RECEIPT_TYP } from '@fairpull/sdk/verify'
import { expect, test } from 'vitest'
import { operations } from '../../packages/service/src/http/operations.ts'

const page = readFileSync(new URL('../../packages/service/docs/plans.md', import.meta.url), 'utf8')

test('every operation of plans is on the page, and no other address of plans', () => {
  const addresses = operations.filter(({ tag }) => tag === 'Plans').map(({ address }) => address)
  expect(addresses.filter((address) => !page.includes(`${address}\``))).toEqual([])
  const named = [...page.matchAll(/`(?:GET|POST) (\/v1\/plan[^`]*)`/g)].map((match) => match[1] ?? '')
  expect(named.filter((address) => !addresses.includes(address))).toEqual([])
})

test('every rule of the discipline has its row', () => {
  const rules = [...page.matchAll(/^\| `([a-z-]+)` *\|/gm)].map((match) => match[1])
  expect(rules.sort()).toEqual([...planRuleReportSchema.shape.rule.options].sort())
})

test('every rule of exclusion stands with its check', () => {
  for (const [rule, check] of Object.entries(checkOfRule)) {
    expect(page).toContain(`\`${rule}\``)
    expect(page).toContain(`\`${check}\``)
  }
})

test('tags and type are those of the code', () => {
  expect(page).toContain(`\`${RECEIPT_TYP}\``)
  const source = readFileSync(new URL('../../packages/sdk/src/integrity/plan-log.ts', import.meta.url), 'utf8')
  for (const tag of ['fairpull-plan-v1', 'fairpull-plan-run-v1']) {
    expect(source).toContain(`'${tag}\\n'`)
    expect(page).toContain(`\`${tag}\``)
  }
})
