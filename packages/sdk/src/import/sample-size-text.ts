/** A question for a sample size, with the facility record out of a JSON text, strictly. */
import type { SampleSizeRequest } from '../contract/index.ts'
import { readSampleSize } from '../contract/read-sample-size.ts'
import { ImportError, problemOf } from './import-error.ts'
import { refusalOf, valueInJson } from './json-text.ts'

/** A question whose record is still to be read. */
export type UnrecordedRequest = Omit<SampleSizeRequest, 'record'>

/**
 * The question with the record in a JSON text: the record itself, or a comparison or plan whose facility holds one.
 *
 * @param request everything but the record; checked here, too.
 * @param source the text; undefined for no record.
 * @throws ImportError with every member that does not fit, its pointer and the code of the contract.
 */
export function readSampleSizeText(request: UnrecordedRequest, source?: string | Uint8Array): SampleSizeRequest {
  const record = source === undefined ? {} : { record: recordIn(source) }
  const read = readSampleSize({ ...request, ...record })
  if (read.ok) return read.request
  throw refusalOf(read.problems)
}

function recordIn(source: string | Uint8Array): unknown {
  const value = valueInJson(source, 'ERR_RECORD_NOT_JSON')
  if (!isObject(value) || !('facility' in value)) return value
  const { facility } = value
  if (isObject(facility) && 'record' in facility) return facility.record
  throw new ImportError(
    problemOf({
      code: 'ERR_NO_RECORD',
      pointer: '/facility',
      detail: 'The document holds no facility record.',
      fix: 'Give a facility record, or a document with facility.record; or leave it out.',
    }),
  )
}

function isObject(value: unknown): value is object {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
