/** `docs/protocol.md` says of every check what the data of the protocol say. */
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { GradedLimit, ProtocolCheck } from '../../packages/sdk/src/contract/protocol.ts'
import { carRollers1 } from '../../packages/sdk/src/engine/protocol/car-rollers-1.ts'
import { motorcycleRollers1 } from '../../packages/sdk/src/engine/protocol/motorcycle-rollers-1.ts'

const page = readFileSync(new URL('../../packages/service/docs/protocol.md', import.meta.url), 'utf8')
const [, ...sections] = page.split(/^## /m)
const { checks } = motorcycleRollers1.data

/** The line of a section that begins so, without its beginning. */
function lineOf(section: string | undefined, label: string): string {
  return new RegExp(`^- ${label}: (.*)$`, 'm').exec(section ?? '')?.[1] ?? ''
}

function limitsText({ limits, basis }: { limits: Readonly<Record<string, GradedLimit>>; basis: string }): string {
  const texts = Object.entries(limits).map(
    ([name, { met, marginal, unit }]) => `\`${name}\` ${met} / ${marginal} ${unit}`,
  )
  if (texts.length > 0) return `${texts.join(', ')}.`
  return /measurement-model|range/.test(basis) ? 'those of its basis.' : 'none; equal or not, present or not.'
}

test('one section to a check, in the order of the protocol', () => {
  expect(sections.map((section) => section.split('\n')[0])).toEqual(checks.map(({ check }) => check))
})

test.each(checks.map((row, place) => [row.check, row, sections[place]] as const))('%s', (name, row, section) => {
  expect(lineOf(section, 'Looks at')).toBe(`${row.compares}.`)
  expect(lineOf(section, 'Weight')).toMatch(new RegExp(`^${row.severity}: `))
  expect(lineOf(section, 'Limits')).toBe(limitsText(row))
  expect(lineOf(section, 'Basis')).toBe(`${row.basis}.`)
  expect(lineOf(section, 'Effect') === '').toBe(row.effect === null)
  expect(lineOf(section, 'Why')).toMatch(/\.$/)
  expect(lineOf(section, 'How it can be wrong')).toMatch(/\.$/)
  const car: ProtocolCheck = carRollers1.data.checks.find(({ check }) => check === name) ?? row
  expect(lineOf(section, 'Cars')).toBe(limitsText(car) === limitsText(row) ? '' : limitsText(car))
})

test('cars are judged by the same checks', () => {
  expect(carRollers1.data.checks.map(({ check }) => check)).toEqual(checks.map(({ check }) => check))
})
