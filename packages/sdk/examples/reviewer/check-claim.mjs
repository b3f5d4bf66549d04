// Somebody published two peak figures. What do they show, what else could account for the difference, and what is there to
// ask for? Usage: node check-claim.mjs BEFORE AFTER [UNIT] [CLAIMED_GAIN]; the unit is kW or hp, the gain in per cent.
import process from 'node:process'
import { readComparison } from '@fairpull/sdk/contract/schemas'
import { assess } from '@fairpull/sdk/engine'
import { renderResult } from '@fairpull/sdk/node'

const [before, after, unit = 'kW', claimed] = process.argv.slice(2)

const figure = (id, side, value) => ({
  id,
  side,
  purpose: 'measured',
  origin: 'reported',
  reported: { peakPower: { value: Number(value), unit } },
})

const read = readComparison({
  protocol: 'motorcycle-rollers@1',
  changes: [{ what: 'the part on sale', role: 'under-test' }],
  runs: [figure('before', 'baseline', before), figure('after', 'modified', after)],
  claims: [
    {
      id: 'published',
      quantity: 'wheel-power',
      over: { kind: 'peak' },
      relation: 'at-least',
      gain: { value: claimed === undefined ? shown(Number(before), Number(after)) : Number(claimed), unit: '%' },
    },
  ],
})

if (read.ok) {
  const result = await assess(read.comparison)
  const title = `${before} ${unit} before, ${after} ${unit} after`
  process.stdout.write(`${renderResult(result, { title, brief: true })}\n`)
} else {
  for (const { pointer, detail } of read.problems) process.stderr.write(`${pointer}: ${detail}\n`)
  process.stderr.write('Usage: node check-claim.mjs BEFORE AFTER [UNIT] [CLAIMED_GAIN]\n')
  process.exitCode = 1
}

/** The gain that the figures show as printed, rounded down to a tenth of a per cent. */
function shown(from, to) {
  return Math.floor((to / from - 1) * 1000) / 10
}
