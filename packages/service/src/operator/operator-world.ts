/** What commands over the store share. */
import type { Settings } from '../env.ts'
import { UUID } from '../identity.ts'
import type { Organisation, Store } from '../ports.ts'
import { type Console, Misuse } from './console.ts'
import type { Options } from './options.ts'

/** What a command over the store works with. */
export interface OperatorWorld {
  readonly store: Store
  readonly settings: Settings
  readonly console: Console
}

/** The value of an option that has to be there. @throws Misuse */
export function needed(given: Options, name: keyof Options): string {
  const value = given[name]
  if (value === undefined || value === '') throw new Misuse(`Give --${name}.`)
  if (name === 'organisation' && !UUID.test(value)) {
    throw new Misuse('--organisation is the identity that "fairpull-service organisations list" shows.')
  }
  return value
}

/** The organisation that an option names. @throws Misuse when there is none. */
export async function organisationNamed(given: Options, store: Pick<Store, 'apiKeys'>): Promise<Organisation> {
  const id = needed(given, 'organisation')
  const found = (await store.apiKeys.organisations()).find((each) => each.id === id)
  if (found === undefined)
    throw new Misuse(`There is no organisation ${id}; see "fairpull-service organisations list".`)
  return found
}
