/** Lists that are read page by page as one goes on. */
import { PagingError } from './errors.ts'

/** One page of a list. */
export interface Page<T> {
  /** Entries of this page; may be empty while more pages follow. */
  readonly items: readonly T[]
  /** Where the next page begins; null after the last one. */
  readonly nextCursor: string | null
}

/** How far a list is read. */
export interface PageLimits {
  /** Entries after which reading on is refused. [1], above 0; default 10,000 */
  readonly maxItems?: number
  /** Pages after which reading on is refused. [1], above 0; default 1,000 */
  readonly maxPages?: number
}

const MAX_ITEMS = 10_000
const MAX_PAGES = 1_000

/**
 * Every entry of a list, in order. Empty pages are followed, a page is fetched when it is needed.
 *
 * @param fetchPage the page at a cursor; undefined asks for the first one.
 * @throws PagingError `ERR_PAGING_CAP` where the list goes on beyond a limit, `ERR_CURSOR_REPEATED` where it goes in a
 * circle: nothing is left out silently.
 */
export async function* entriesOf<T>(
  fetchPage: (cursor: string | undefined) => PromiseLike<Page<T>>,
  limits: PageLimits = {},
): AsyncGenerator<T, void, undefined> {
  const { maxItems = MAX_ITEMS, maxPages = MAX_PAGES } = limits
  const seen = new Set<string>()
  let cursor: string | undefined
  let count = 0
  for (let page = 1; ; page++) {
    if (page > maxPages) throw capped(`${maxPages} pages`, 'maxPages')
    const { items, nextCursor } = await fetchPage(cursor)
    for (const item of items) {
      if (++count > maxItems) throw capped(`${maxItems} entries`, 'maxItems')
      yield item
    }
    if (nextCursor === null) return
    if (seen.has(nextCursor)) throw circular(nextCursor)
    seen.add(nextCursor)
    cursor = nextCursor
  }
}

function capped(limit: string, option: string): PagingError {
  const message = `The list goes on after ${limit}; nothing beyond was read.\nRaise ${option}, or leave the loop earlier with break.`
  return new PagingError('ERR_PAGING_CAP', message)
}

function circular(cursor: string): PagingError {
  const message = `The list goes in a circle: the cursor "${cursor}" came twice.\nThis is a fault of the service; report it to its operator.`
  return new PagingError('ERR_CURSOR_REPEATED', message)
}
