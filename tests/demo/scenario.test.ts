/** The demo's scenario: the committed files are what the generator writes, and they hold what they are said to hold. */
import { readdir, readFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import type { Comparison, Run, Side } from '../../packages/sdk/src/contract/index.ts'
import { readComparison } from '../../packages/sdk/src/contract/read-comparison.ts'
import { readComparisonFile } from '../../packages/sdk/src/import/index.ts'
import {
  committedSeed,
  type DemoName,
  demoComparison,
  demoFiles,
  demoNames,
  demoStory,
} from '../../packages/service/demo/scenario/index.ts'

const DATA = fileURLToPath(new URL('../../packages/service/demo/data/', import.meta.url))
const SEEDS = Array.from({ length: 50 }, (_, k) => k + 1)

function measured(comparison: Comparison, side: Side): readonly Run[] {
  return comparison.runs.filter((run) => run.purpose === 'measured' && run.side === side)
}

function coolantDifference_K(comparison: Comparison): number {
  const mean = (side: Side) => {
    const values = measured(comparison, side).map((run) => run.conditions?.coolantTemperature?.value ?? Number.NaN)
    return values.reduce((sum, value) => sum + value, 0) / values.length
  }
  return Math.abs(mean('modified') - mean('baseline'))
}

describe('the committed files of the demo', () => {
  test.each(demoNames)(
    '%s: every file is what the generator writes for the committed seed, and no other is there',
    async (name) => {
      const written = demoFiles(name, committedSeed)
      for (const { name: file, text } of written) {
        expect(await readFile(`${DATA}${name}/${file}`, 'utf8'), `${name}/${file}`).toBe(text)
      }
      const found = (await readdir(`${DATA}${name}`, { recursive: true, withFileTypes: true })).filter((entry) =>
        entry.isFile(),
      )
      expect(found.length).toBe(written.length)
    },
  )

  test('no folder is there that the demo does not use', async () => {
    expect((await readdir(DATA)).toSorted()).toEqual(demoNames.toSorted())
  })

  test.each(demoNames)('%s: the files read back as the comparison that the generator hands over', async (name) => {
    const files = new Map(demoFiles(name, committedSeed).map(({ name: file, text }) => [file, text]))
    const readFileOf = async (file: string) => new TextEncoder().encode(files.get(file) ?? '')
    const back = await readComparisonFile(files.get('comparison.json') ?? '', readFileOf)
    expect(back).toEqual(demoComparison(name, committedSeed))
  })
})

describe('what the demo says of its comparisons holds for the seeds 1 to 50', () => {
  test.each(demoNames)('%s: can be read, and another seed gives other numbers', (name) => {
    const texts = new Set<string>()
    for (const seed of SEEDS) {
      const comparison = demoComparison(name, seed)
      const reading = readComparison(comparison)
      expect(reading.ok ? [] : reading.problems, `seed ${seed}`).toEqual([])
      texts.add(JSON.stringify(comparison.runs))
    }
    // Two advertisements may print the same two figures by chance; recorded curves never agree.
    expect(texts.size).toBeGreaterThan(name === 'published-peaks' ? 40 : 49)
  })

  test('air-filter: A-B-A in one mounting on one day, three runs a block, no record, sides within 2.8 K', () => {
    for (const seed of SEEDS) {
      const comparison = demoComparison('air-filter', seed)
      const order = comparison.runs.filter(({ purpose }) => purpose === 'measured').map(({ side }) => side[0])
      expect(order.join('')).toBe('bbbmmmbbb')
      expect(comparison.mountings?.length).toBe(1)
      expect(new Set(comparison.runs.map(({ startedAt }) => startedAt?.slice(0, 10))).size).toBe(1)
      expect(comparison.facility?.record).toBeUndefined()
      expect(coolantDifference_K(comparison), `seed ${seed}`).toBeLessThanOrEqual(2.8)
    }
  })

  test('intake-trumpets: three strappings a side on one day, one conditioning and one measured run each, sides within 3.2 K', () => {
    for (const seed of SEEDS) {
      const comparison = demoComparison('intake-trumpets', seed)
      const order = comparison.runs.map((run) => `${run.mounting}${run.side[0]}${run.purpose[0]}`).join(' ')
      expect(order).toBe('m1bc m1bm m2bc m2bm m3bc m3bm m4mc m4mm m5mc m5mm m6mc m6mm')
      expect(new Set(comparison.runs.map(({ startedAt }) => startedAt?.slice(0, 10))).size).toBe(1)
      expect(comparison.facility?.record).toBeUndefined()
      expect(coolantDifference_K(comparison), `seed ${seed}`).toBeLessThanOrEqual(3.2)
    }
  })

  test('silencer: one run a side, gear 5 against 6, tyre 180 against 235 kPa, coolant 62 against 86 °C, another fuel, another map', () => {
    for (const seed of SEEDS) {
      const { runs, changes } = demoComparison('silencer', seed)
      expect(runs.map(({ setup }) => setup?.gear)).toEqual([5, 6])
      expect(runs.map(({ setup }) => setup?.tyrePressure?.value)).toEqual([180, 235])
      expect(runs.map(({ conditions }) => conditions?.coolantTemperature?.value)).toEqual([62, 86])
      expect(runs.map(({ setup }) => setup?.fuel?.name)).toEqual(['unleaded 95', 'unleaded 98'])
      expect(changes?.map(({ role }) => role)).toEqual(['under-test', 'other'])
    }
  })

  test('published-peaks: two reported figures, no channels, one claim', () => {
    for (const seed of SEEDS) {
      const { runs, claims } = demoComparison('published-peaks', seed)
      expect(runs.map(({ origin, side }) => `${origin} ${side}`)).toEqual(['reported baseline', 'reported modified'])
      expect(runs.every(({ channels }) => channels === undefined)).toBe(true)
      expect(claims?.length).toBe(1)
    }
  })

  test('every comparison says in a sentence who brings it and what is true', () => {
    for (const name of demoNames satisfies DemoName[]) {
      expect(Object.values(demoStory(name)).every((text) => text.endsWith('.'))).toBe(true)
    }
  })
})
