/**
 * Writes schemas/example/ and its extract in schemas/README.md from the built SDK; with --check only says whether they are
 * up to date. The example is real: assessed by the engine, signed with the key of RFC 8037 appendix A.1, which everybody
 * knows and nobody may trust.
 *
 * node .ci/write-example.mjs           writes the files
 * node .ci/write-example.mjs --check   exit 1 and the names of the files that differ
 */
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { readComparison } from '../packages/sdk/dist/contract/schemas.js'
import { canonicalJson, importSigningKey, signSummary } from '../packages/sdk/dist/integrity/index.js'
import { assess } from '../packages/sdk/dist/local/index.js'

const schemas = new URL('../schemas/', import.meta.url)

const KNOWN_KEY = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
}

const comparison = {
  protocol: 'motorcycle-rollers@1',
  changes: [{ what: 'silencer', role: 'under-test' }],
  runs: [published('before', 'baseline', 70.2, 9800), published('after', 'modified', 73.4, 9900)],
  claims: [
    {
      id: 'c1',
      quantity: 'wheel-power',
      over: { kind: 'peak' },
      relation: 'at-least',
      gain: { value: 4, unit: '%' },
    },
  ],
}

function published(id, side, kW, rpm) {
  return {
    id,
    side,
    purpose: 'measured',
    origin: 'reported',
    reported: { peakPower: { value: kW, unit: 'kW' }, at: { value: rpm, unit: 'rpm' } },
  }
}

const read = readComparison(comparison)
if (!read.ok) throw new Error(JSON.stringify(read.problems))
const key = await importSigningKey(KNOWN_KEY)
if (!key.ok) throw new Error(key.problem.detail)
const issue = {
  id: '0190a0b0-0000-7000-8000-000000000001',
  issuer: 'Example issuer',
  submitter: 'Example workshop',
  issuedAt: '2026-05-02T12:00:00Z',
  supersedes: null,
  registration: 'none',
  receipts: [],
}
const payload = { issue, result: await assess(read.comparison) }
const jws = await signSummary(payload, key.value)

const files = [
  ['example/comparison.json', text(comparison)],
  ['example/summary.jws', `${jws}\n`],
  ['example/payload.json', `${canonicalJson(payload)}\n`],
  ['example/jwks.json', text({ keys: [key.value.jwk] })],
]
const page = await readFile(new URL('README.md', schemas), 'utf8')
files.push(['README.md', page.replace(/(<!-- example:start -->\n)[\s\S]*(<!-- example:end -->)/, `$1${extract()}$2`)])

if (process.argv.includes('--check')) await check()
else await write()

/** What a reader sees first: the whole comparison, the header, the ends of the token, the head of the payload. */
function extract() {
  const [header] = jws.split('.')
  const { standing, verdict, claims } = payload.result
  const [{ claim, judgement, sentence }] = claims
  const shown = { issue, result: { standing, verdict, claims: [{ claim, judgement, sentence }] } }
  return `
Somebody publishes two peak figures. The comparison (\`example/comparison.json\`):

\`\`\`json
${text(comparison)}\`\`\`

The signed summary (\`example/summary.jws\`, ${jws.length} characters, here its two ends):

\`\`\`text
${jws.slice(0, 100)}
…
${jws.slice(-100)}
\`\`\`

Its first part is the protected header, \`${Buffer.from(header, 'base64url')}\`. Its second part is the payload, in canonical
form in \`example/payload.json\`; a few of its members:

\`\`\`json
${text(shown)}\`\`\`

Its third part is the signature, by the key of RFC 8037 appendix A.1 (\`example/jwks.json\`), which everybody knows: it shows the
format, and no one may trust it.

`
}

function text(value) {
  return `${JSON.stringify(value, null, 2)}\n`
}

async function write() {
  await mkdir(new URL('example/', schemas), { recursive: true })
  await Promise.all(files.map(([name, content]) => writeFile(new URL(name, schemas), content)))
  console.log('schemas/example/ and its extract written')
}

async function check() {
  const stale = []
  for (const [name, content] of files) {
    const committed = await readFile(new URL(name, schemas), 'utf8').catch(() => undefined)
    if (committed !== content) stale.push(`schemas/${name}`)
  }
  if (stale.length === 0) return console.log('schemas/example/ is up to date')
  console.error(
    `${stale.join(', ')} differ from the built engine.\nRun: npm run schemas, look at the difference, commit it.`,
  )
  process.exitCode = 1
}
