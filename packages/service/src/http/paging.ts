/** Lists that are read page by page. */
import { UUID } from '../identity.ts'
import { textLike, type ValuesOf, wholeNumber } from './parameter.ts'

const ENTRIES_PER_PAGE = 20
const MOST_ENTRIES_PER_PAGE = 100

/** Query parameters of a list. */
export const pageQuery = {
  cursor: textLike('`nextCursor` of the page before; absent for the first page.', UUID, 'the nextCursor of a page'),
  limit: wholeNumber(`Entries per page; ${ENTRIES_PER_PAGE} when absent.`, 1, MOST_ENTRIES_PER_PAGE),
} as const

/** The page that was asked for. */
export function pageOf({ cursor, limit }: Partial<ValuesOf<typeof pageQuery>>) {
  return { after: cursor, limit: limit ?? ENTRIES_PER_PAGE }
}
