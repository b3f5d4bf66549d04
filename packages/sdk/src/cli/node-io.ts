import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import type { CommandIo, TextSink } from './io.ts'

/** The streams, files and environment of this process; SIGINT and SIGTERM abort. */
export function createNodeIo(): CommandIo {
  const interruption = new AbortController()
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => interruption.abort())
  return {
    stdout: sinkOf(process.stdout),
    stderr: sinkOf(process.stderr),
    env: process.env,
    signal: interruption.signal,
    version: packageVersion,
    files: {
      read: (path) => (path === '-' ? readStandardInput() : readFile(path)),
      write: (path, text) => writeFile(path, text),
      create: createFile,
      list: listFolder,
    },
  }
}

async function createFile(path: string, text: string): Promise<void> {
  await mkdir(dirname(path), { recursive: true })
  await writeFile(path, text, { flag: 'wx' })
}

async function listFolder(path: string): Promise<readonly string[] | undefined> {
  try {
    const entries = await readdir(path, { withFileTypes: true })
    return entries
      .filter((entry) => entry.isFile())
      .map(({ name }) => name)
      .toSorted()
  } catch {
    return undefined
  }
}

async function readStandardInput(): Promise<Uint8Array> {
  const chunks: Uint8Array[] = []
  for await (const chunk of process.stdin) chunks.push(chunk)
  return Buffer.concat(chunks)
}

/** The version stands in package.json, two folders above this file, in the sources and in the build. */
async function packageVersion(): Promise<string> {
  const text = await readFile(new URL('../../package.json', import.meta.url), 'utf8')
  const { version }: { readonly version: string } = JSON.parse(text)
  return version
}

/** A reader that goes away early, such as `head`, is no error. */
function sinkOf(stream: NodeJS.WriteStream): TextSink {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
  })
  return {
    write: (text) => void stream.write(text),
    isTerminal: stream.isTTY === true,
    columns: stream.isTTY === true ? stream.columns : undefined,
  }
}
