/** The dialect of a CSV file as a document states it. */
import { didYouMean } from '../contract/nearest-name.ts'
import { isObject } from './column-mapping.ts'
import { type Dialect, delimiters } from './dialect.ts'
import { refusal } from './import-error.ts'

/** What is stated of a dialect; nothing where the member is not there. @throws ImportError for anything unknown. */
export function parseDialect(value: unknown, pointer: string): Partial<Dialect> {
  if (value === undefined) return {}
  if (!isObject(value))
    throw refusal(pointer, 'this is no description of a CSV file.', 'Write "csv": { "decimal": "," }.')
  for (const [key, given] of Object.entries(value)) refuseDialectMember(key, given, pointer)
  return value
}

function refuseDialectMember(key: string, given: unknown, pointer: string): void {
  const allowed: Readonly<Record<string, readonly string[]>> = { delimiter: delimiters, decimal: ['.', ','] }
  if (key === 'comment' && typeof given === 'string' && given !== '') return
  const values = Object.hasOwn(allowed, key) ? allowed[key] : undefined
  if (values?.some((each) => each === given)) return
  const known = ['delimiter', 'decimal', 'comment']
  const fix =
    values === undefined
      ? `It has ${known.join(', ')}.${didYouMean(key, known)}`
      : `Write one of ${values.map((each) => JSON.stringify(each)).join(', ')}.`
  throw refusal(`${pointer}/${key}`, `${JSON.stringify(given)} cannot be used here.`, fix)
}
