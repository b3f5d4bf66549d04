/** What the command sees of the world. A test hands over its own. */

/** Where text goes. */
export interface TextSink {
  /** Writes a text. */
  readonly write: (text: string) => void
  /** Whether a person sees it at once. */
  readonly isTerminal: boolean
  /** Columns of the terminal; undefined where it is none. */
  readonly columns: number | undefined
}

/** Files, by the path a person typed. `-` stands for standard input. */
export interface Files {
  /** Bytes of a file. */
  readonly read: (path: string) => Promise<Uint8Array>
  /** Writes a file, over an older one. */
  readonly write: (path: string, text: string) => Promise<void>
  /** Writes a file and the folders it stands in; rejects with `EEXIST` where there is one already. */
  readonly create: (path: string, text: string) => Promise<void>
  /** Names of the files in a folder, sorted; undefined where there is no such folder. */
  readonly list: (path: string) => Promise<readonly string[] | undefined>
}

/** Streams, files, environment, network. */
export interface CommandIo {
  /** The result. */
  readonly stdout: TextSink
  /** Progress and errors. */
  readonly stderr: TextSink
  /** Environment variables. */
  readonly env: Readonly<Record<string, string | undefined>>
  /** Files. */
  readonly files: Files
  /** Aborts when the person interrupts. */
  readonly signal: AbortSignal
  /** Version of this package. */
  readonly version: () => Promise<string>
  /** `fetch` to use. Default: the global one. */
  readonly fetch?: typeof fetch
}

/** The folder part of a path, with the separator; empty for a bare name. */
export function folderOf(path: string): string {
  return path.slice(0, Math.max(path.lastIndexOf('/'), path.lastIndexOf('\\')) + 1)
}

/** The path of a file in a folder. */
export function joined(folder: string, name: string): string {
  return folder === '' || folder.endsWith('/') || folder.endsWith('\\') ? folder + name : `${folder}/${name}`
}
