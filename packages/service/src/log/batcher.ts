interface Waiting<Item, Result> {
  readonly item: Item
  readonly resolve: (result: Result) => void
  readonly reject: (reason: unknown) => void
}

/**
 * Does work in groups without a timer: what arrives while a group is worked on makes the next one.
 *
 * @param most items of one group.
 * @param work one result per item, in their order; what it throws, all items of the group get.
 */
export function createBatcher<Item, Result>(
  most: number,
  work: (items: readonly Item[]) => Promise<readonly Result[]>,
): (item: Item) => Promise<Result> {
  const waiting: Waiting<Item, Result>[] = []
  const state = { isWorking: false }
  const workOff = async () => {
    if (state.isWorking) return
    state.isWorking = true
    while (waiting.length > 0) await settle(waiting.splice(0, most), work)
    state.isWorking = false
  }
  return (item) =>
    new Promise((resolve, reject) => {
      waiting.push({ item, resolve, reject })
      void workOff()
    })
}

async function settle<Item, Result>(
  group: readonly Waiting<Item, Result>[],
  work: (items: readonly Item[]) => Promise<readonly Result[]>,
): Promise<void> {
  try {
    const results = await work(group.map(({ item }) => item))
    if (results.length !== group.length) throw new TypeError('a group has one result per item')
    for (const [at, { resolve }] of group.entries()) resolve(results[at] as Result)
  } catch (error) {
    for (const { reject } of group) reject(error)
  }
}
