/** The main job from end to end: four comparisons through the service, signed, saved, verified offline, and one tampered with. */
import { chmod, copyFile, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Fairpull } from '@fairpull/sdk'
import type { IssuedSummary } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import { renderResult } from '@fairpull/sdk/node'
import { readKeySet, verifySummary } from '@fairpull/sdk/verify'
import { readSettings, startService } from '@fairpull/service/app'
import { pageFiles } from './pages.ts'
import { committedSeed, demoComparison, demoNames, demoStory } from './scenario/index.ts'

/** Made by the build, beside the compiled service. */
const VERIFIER_PAGE = fileURLToPath(new URL('../verify.html', import.meta.url))

const OUT = fileURLToPath(new URL('../../demo/out/', import.meta.url))

function seedOf(args: readonly string[]): number {
  const at = args.indexOf('--seed')
  const seed = at < 0 ? committedSeed : Number(args[at + 1])
  if (Number.isInteger(seed) && seed >= 1) return seed
  throw new RangeError(`--seed takes a whole number from 1, not ${JSON.stringify(args[at + 1])}`)
}

function say(...lines: readonly string[]): void {
  process.stdout.write(`${lines.join('\n')}\n`)
}

/** One character of the signed bytes changed. */
function tampered(jws: string): string {
  const at = Math.floor(jws.length / 2)
  return jws.slice(0, at) + (jws[at] === 'A' ? 'B' : 'A') + jws.slice(at + 1)
}

async function main(args: readonly string[]): Promise<void> {
  const seed = seedOf(args)
  const folder = await mkdtemp(join(tmpdir(), 'fairpull-demo-'))
  await chmod(folder, 0o711)
  const settings = readSettings(
    {
      FAIRPULL_DATA: join(folder, 'data'),
      PORT: '0',
      FAIRPULL_ISSUER: 'Fairpull demo',
      FAIRPULL_ORGANISATION: 'Demo workshop',
    },
    folder,
  )
  if (!settings.ok) throw new Error(settings.sentences.join(' '))
  process.stderr.write('starting the service on its own database …\n')
  const service = await startService(settings.settings, { log: { write: () => undefined } })
  try {
    await tell(new Fairpull({ baseUrl: service.url, apiKey: service.firstApiKey ?? '' }), seed)
  } finally {
    await service.stop()
    await rm(folder, { recursive: true, force: true })
  }
}

async function tell(client: Fairpull, seed: number): Promise<void> {
  await mkdir(OUT, { recursive: true })
  await copyFile(VERIFIER_PAGE, join(OUT, 'verify.html'))
  const keys = await client.keys.jwks()
  await writeFile(join(OUT, 'jwks.json'), `${JSON.stringify(keys, null, 2)}\n`)
  const issued: { readonly name: (typeof demoNames)[number]; readonly answer: IssuedSummary }[] = []
  for (const [index, name] of demoNames.entries()) {
    const answer = await client.assessments.create(demoComparison(name, seed))
    await writeFile(join(OUT, `${name}.jws`), answer.summary)
    await writeFile(join(OUT, `${name}.comparison.json`), JSON.stringify(demoComparison(name, seed)))
    for (const file of pageFiles(name, answer, demoComparison(name, seed)))
      await writeFile(join(OUT, file.name), file.text)
    issued.push({ name, answer })
    say('', `──── ${index + 1} of ${demoNames.length}. ${demoStory(name).title}`, '')
    say(
      renderResult(answer.payload.result, { brief: true }),
      `What is true here, which nobody on a real rig knows: ${demoStory(name).truth}`,
    )
  }
  await verifyOffline(issued, keys, seed)
}

async function verifyOffline(
  issued: readonly { readonly name: (typeof demoNames)[number]; readonly answer: IssuedSummary }[],
  jwks: unknown,
  seed: number,
): Promise<void> {
  const keys = await readKeySet(jwks)
  if (!keys.ok) throw new Error(keys.problem.detail)
  say('', '──── Checked offline, with the public key alone', '')
  for (const { name, answer } of issued) {
    const report = await verifySummary(answer.summary, {
      keys: keys.value,
      comparison: demoComparison(name, seed),
      recompute: assess,
    })
    say(`${name}: signature ${report.integrity}, recomputed ${report.recomputed.answer}`)
  }
  const [first] = issued
  if (first === undefined) return
  const report = await verifySummary(tampered(first.answer.summary), { keys: keys.value })
  say(`a copy of ${first.name} with one character changed: ${report.verdict} (${report.failure?.code ?? 'no code'})`)
  const folder = relative(process.cwd(), OUT)
  say('', `The signed summaries and the public key are in ${folder}`)
  say('Their pages, to be opened in a browser:')
  for (const { name } of issued) say(`  ${join(folder, `${name}.report.html`)}`)
  say(`and the page that checks them without a network: ${join(folder, 'verify.html')}`)
}

await main(process.argv.slice(2))
