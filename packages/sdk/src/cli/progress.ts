/** Progress of work that takes longer than a second, on stderr. */
import { CommandError } from './command-error.ts'
import type { CommandIo } from './io.ts'

/** After this long a person wonders whether anything happens. [ms] */
const PATIENCE_MS = 1000

/** Back to the beginning of the line, and the rest of it cleared. */
const CLEAR = '\r\u001b[K'

/** Work under way. */
export interface Progress {
  /** Says what is being done now; shown once it takes long. */
  readonly step: (text: string) => void
  /** The work is done: a terminal is cleared of what was shown. */
  readonly end: () => void
}

/**
 * Begins to watch work. Quick work shows nothing; longer work shows once a second where it is, on a terminal with the
 * seconds, elsewhere in a line of its own.
 */
export function startProgress({ stderr }: Pick<CommandIo, 'stderr'>): Progress {
  let text = ''
  let shown = ''
  let seconds = 0
  const show = () => {
    if (text === '') return
    if (stderr.isTerminal) stderr.write(`${CLEAR}${text} … ${seconds} s`)
    else if (shown !== text) stderr.write(`${text} …\n`)
    shown = text
  }
  const timer = setInterval(() => {
    seconds += 1
    show()
  }, PATIENCE_MS)
  return {
    step: (next) => {
      text = next
    },
    end: () => {
      clearInterval(timer)
      if (stderr.isTerminal && shown !== '') stderr.write(CLEAR)
    },
  }
}

/** Carries out work that is watched. @throws CommandError `interrupted` as soon as the person interrupts. */
export async function watched<T>(
  io: Pick<CommandIo, 'stderr' | 'signal'>,
  work: (step: Progress['step']) => Promise<T>,
): Promise<T> {
  const progress = startProgress(io)
  let stopListening: () => void = () => undefined
  const interruption = new Promise<never>((_, reject) => {
    const interrupt = () =>
      reject(new CommandError('interrupted', 'interrupted; nothing was sent or written.', 'run it again'))
    if (io.signal.aborted) interrupt()
    io.signal.addEventListener('abort', interrupt, { once: true })
    stopListening = () => io.signal.removeEventListener('abort', interrupt)
  })
  try {
    return await Promise.race([work(progress.step), interruption])
  } finally {
    stopListening()
    progress.end()
  }
}
