/**
 * The results of work on each item, in the order of the items, with a few of them under way at once.
 *
 * Items are taken from the source as results are taken from here: never more than `atOnce` are ahead. When the caller
 * stops early, or work fails, the source is closed and results still under way are dropped.
 */
export async function* inOrder<T, R>(
  source: AsyncGenerator<T>,
  atOnce: number,
  work: (item: T) => Promise<R>,
): AsyncGenerator<R, void, undefined> {
  const underWay: Promise<R>[] = []
  const take = async () => {
    const { done, value } = await source.next()
    if (done) return false
    const result = work(value)
    // A failure is thrown when its turn comes; until then, or if that never comes, it is no unhandled rejection.
    result.catch(() => undefined)
    underWay.push(result)
    return true
  }
  try {
    let hasMore = true
    for (;;) {
      while (hasMore && underWay.length < atOnce) hasMore = await take()
      const next = underWay.shift()
      if (next === undefined) return
      yield await next
    }
  } finally {
    await source.return(undefined)
  }
}
