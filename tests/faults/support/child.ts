import { type ChildProcess, fork } from 'node:child_process'

/** What the writer reports. */
export type WriterMessage =
  | { readonly kind: 'ready' }
  | { readonly kind: 'refused' | 'lost'; readonly message: string }
  | { readonly kind: 'acknowledged'; readonly number: number; readonly outcome: string; readonly location: string }

/** A process that runs one of the scripts of this folder. */
export interface Child {
  readonly process: ChildProcess
  readonly messages: readonly WriterMessage[]
  /** Resolves with the first message that satisfies the condition; rejects when the process ends before. */
  until(condition: (message: WriterMessage) => boolean): Promise<WriterMessage>
  /** Ends it without warning. Resolves when it is gone. */
  kill(): Promise<void>
}

/**
 * Starts the writer on a data folder.
 *
 * @param file the bundled script.
 * @param first number of the first request.
 * @param databaseUrl a server to write to in place of the writer's own database.
 */
export function startWriter(file: string, dataFolder: string, first = 0, databaseUrl?: string): Child {
  const args = [dataFolder, String(first), ...(databaseUrl === undefined ? [] : [databaseUrl])]
  const child = fork(file, args, { execArgv: [] })
  const messages: WriterMessage[] = []
  child.on('message', (message: WriterMessage) => messages.push(message))
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  return {
    process: child,
    messages,
    until: (condition) =>
      new Promise((resolve, reject) => {
        const check = () => {
          const found = messages.find(condition)
          if (found !== undefined) resolve(found)
        }
        check()
        child.on('message', check)
        child.once('exit', () => reject(new Error(`the writer ended early: ${JSON.stringify(messages.at(-1))}`)))
      }),
    kill: async () => {
      child.kill('SIGKILL')
      await gone
    },
  }
}
