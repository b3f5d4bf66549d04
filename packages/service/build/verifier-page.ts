/** Bundles the two programs of the verifier page and writes the page beside the compiled service. */
import { readFileSync, statSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Plugin } from 'rolldown'
import { verifierPage } from '../src/report/verifier-page.ts'

const here = dirname(fileURLToPath(import.meta.url))
const out = join(here, '..', 'verify.html')

/**
 * Of jstat the engine takes two quantiles, which rest on five of its special functions: the bundle takes those, out of the
 * package itself, and not the hundred kilobytes around them. Its object is one that every file adds to, so the bundler
 * cannot leave anything out by itself. The browser test holds the results of both against each other, byte for byte.
 */
const jstatQuantiles: Plugin = {
  name: 'jstat-quantiles',
  resolveId: (source) => (source === 'jstat' ? '\0jstat' : null),
  load: (id) => (id === '\0jstat' ? quantilesOnly() : null),
}

function quantilesOnly(): string {
  const sdk = createRequire(createRequire(import.meta.url).resolve('@fairpull/sdk/package.json'))
  const special = join(dirname(sdk.resolve('jstat')), '..', 'src', 'special.js')
  return [
    'const jStat = {};',
    ...functionsBehind(['erfcinv', 'gammapinv'], readFileSync(special, 'utf8')),
    'jStat.normal = { inv: (p, mean, sd) => -1.41421356237309505 * sd * jStat.erfcinv(2 * p) + mean };',
    'jStat.chisquare = { inv: (p, dof) => 2 * jStat.gammapinv(p, 0.5 * dof) };',
    'export default { jStat };',
  ].join('\n')
}

/** The functions named, and all that they call, out of a file that holds one assignment to `jStat` after another. */
function functionsBehind(names: readonly string[], source: string): readonly string[] {
  const parts = source.split(/^(?=jStat\.\w+ = function)/m)
  const byName = new Map(parts.map((part) => [/^jStat\.(\w+) =/.exec(part)?.[1], part]))
  const needed = new Set(names)
  for (const name of needed) {
    const part = byName.get(name)
    if (part === undefined) throw new RangeError(`jstat has no ${name} any more`)
    for (const [, called = ''] of part.matchAll(/jStat\.(\w+)\(/g)) needed.add(called)
  }
  return [...needed].map((name) => byName.get(name) ?? '')
}

/**
 * The page reads summaries, keys, trust and comparisons, and no place in the log: what checks one stays out. It is loaded
 * by verification only when a place or a log is given, which the worker never does.
 */
const noPlaceInLog: Plugin = {
  name: 'no-place-in-log',
  resolveId: (source) => (source === './place-in-log.js' ? '\0place-in-log' : null),
  load: (id) => (id === '\0place-in-log' ? 'export const placeInLog = undefined' : null),
}

/** One program as a text that runs without a module loader. */
async function bundled(name: string): Promise<string> {
  // Loaded only when there is something to do: every start of the service passes here.
  const { rolldown } = await import('rolldown')
  const bundle = await rolldown({
    input: join(here, '..', 'verifier', `${name}.js`),
    platform: 'browser',
    plugins: [jstatQuantiles, noPlaceInLog],
  })
  const { output } = await bundle.generate({ format: 'iife', minify: true })
  await bundle.close()
  return output[0].code.replaceAll(/\/\* ?[#@]__PURE__ ?\*\//g, '').trim()
}

/** Whether the page is younger than everything that was compiled. */
function isFresh(): boolean {
  const stamps = [join(here, '..', '.tsbuildinfo'), join(here, '..', '..', '..', 'sdk', 'dist', '.tsbuildinfo')]
  const page = statSync(out, { throwIfNoEntry: false })
  return page !== undefined && stamps.every((stamp) => statSync(stamp).mtimeMs < page.mtimeMs)
}

if (!isFresh()) {
  const [main, worker] = await Promise.all([bundled('main'), bundled('worker')])
  writeFileSync(out, verifierPage({ main, worker }))
}
