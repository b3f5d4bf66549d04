/** `fairpull-service log`: the log is checked from its entries, and let go on when it is sound. */
import { checkLog } from '../log/check-log.ts'
import { markOf } from '../log/open-log.ts'
import { Misuse } from './console.ts'
import type { OperatorWorld } from './operator-world.ts'
import type { Options } from './options.ts'

/** Checks the whole log; `resume` lets it take entries again, if nothing is wrong with it. */
export async function logCommand(
  verb: string,
  _given: Options,
  { store, settings, console }: OperatorWorld,
): Promise<number> {
  if (verb !== 'check' && verb !== 'resume') throw new Misuse(`There is no "log ${verb}"; there are check and resume.`)
  const { head, faults } = await checkLog(store.logStorage, markOf(settings.dataFolder))
  console.print(`${head.origin}: ${head.size} entries, root hash ${Buffer.from(head.root).toString('base64')}`)
  if (head.stopped !== null) console.say(`It has stopped: ${head.stopped}.`)
  for (const fault of faults) console.say(`Fault: ${fault}.`)
  if (faults.length > 0) return 1
  console.say('Entries, tiles, root hash and high-water mark agree.')
  if (verb === 'resume') {
    await store.logStorage.resume()
    console.say('The log takes entries again.')
  }
  return 0
}
