import { open } from 'node:fs/promises'
import { Readable } from 'node:stream'

/**
 * The bytes of a file, for `assessments.create`: read when they are asked for, closed when they end or are let go of.
 *
 * @throws the error of the system when the file cannot be opened; nothing has been sent then.
 */
export async function fileSource(path: string | URL): Promise<ReadableStream<Uint8Array>> {
  const file = await open(path)
  return Readable.toWeb(file.createReadStream()) as ReadableStream<Uint8Array>
}
