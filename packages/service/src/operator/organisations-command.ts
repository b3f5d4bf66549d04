/** `fairpull-service organisations`: the tenants of the service. */
import { uuidIds } from '../store/ids.ts'
import { columns, Misuse } from './console.ts'
import { needed, type OperatorWorld } from './operator-world.ts'
import type { Options } from './options.ts'

/** A name as it is printed in summaries: one line, neither blank nor endless. */
const NAME = /^(?=.*\S)[^\p{C}\p{Zl}\p{Zp}]{1,200}$/u

/** Lists and adds organisations. */
export async function organisationsCommand(
  verb: string,
  given: Options,
  { store, console }: OperatorWorld,
): Promise<number> {
  if (verb === 'list') {
    const organisations = await store.apiKeys.organisations()
    for (const line of columns(organisations.map(({ id, name }) => [id, name]))) console.print(line)
    return 0
  }
  if (verb !== 'add') throw new Misuse(`There is no "organisations ${verb}"; there are list and add.`)
  const name = needed(given, 'name')
  if (!NAME.test(name)) throw new Misuse('--name is a name of 1 to 200 characters on one line.')
  const id = uuidIds.next()
  await store.apiKeys.addOrganisation({ id, name }, new Date())
  console.print(id)
  return 0
}
