// Measures the engine in a process of its own and prints CPU milliseconds as JSON: by case, one figure per round, the cases
// taking turns so that whatever else the machine does meets all of them.
import { assess, assessComparison, protocols } from '@fairpull/sdk/engine'
import { simulateSession } from '@fairpull/sdk/testing'
import { inputDigests, protocolDigest } from '@fairpull/sdk/verify'

const ROUNDS = Number(process.argv[2])
const SPAN_RPM = 8000
const CHANNELS = ['time', 'engineSpeed', 'wheelPower', 'torque', 'rollerSpeed']

/** A session of A-B-A-B with so many measured runs, so many samples each, five channels. */
function session(runs, samples) {
  const { comparison } = simulateSession({
    seed: 1,
    design: 'ABAB',
    runsPerBlock: runs / 4,
    gain: { shape: 'uniform', percent: 4 },
    sampling: { by: 'speed', step_rpm: SPAN_RPM / samples },
    claims: [
      {
        id: 'mid-range',
        quantity: 'wheel-power',
        over: { kind: 'band-mean', from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
        relation: 'at-least',
        gain: { value: 2, unit: '%' },
      },
    ],
  })
  const only = (channels) => Object.fromEntries(CHANNELS.map((name) => [name, channels[name]]))
  const withChannels = (run) => (run.channels === undefined ? run : { ...run, channels: only(run.channels) })
  return { ...comparison, runs: comparison.runs.map(withChannels) }
}

const protocol = protocols['motorcycle-rollers@1']
const ofProtocol = await protocolDigest(protocol)

async function engineAlone(comparison) {
  const digests = { protocol: ofProtocol, inputs: await inputDigests(comparison) }
  return () => assessComparison(comparison, digests)
}

const standard = session(12, 2000)
const text = JSON.stringify(standard)
const cases = {
  parse: () => JSON.parse(text),
  engine: await engineAlone(standard),
  assess: () => assess(standard),
}
for (const times of [1, 2, 4, 8, 16]) {
  cases[`samples ${times}`] = await engineAlone(session(12, 500 * times))
  cases[`runs ${times}`] = await engineAlone(session(8 * times, 250))
}

const figures = Object.fromEntries(Object.keys(cases).map((name) => [name, []]))
for (let round = -2; round < ROUNDS; round += 1) {
  for (const [name, work] of Object.entries(cases)) {
    const before = process.cpuUsage()
    await work()
    const { user, system } = process.cpuUsage(before)
    // The first two rounds warm the compiler up.
    if (round >= 0) figures[name].push((user + system) / 1000)
  }
}
process.stdout.write(JSON.stringify({ figures, bytes: text.length }))
