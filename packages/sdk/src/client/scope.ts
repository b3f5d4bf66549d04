/** Abort signals that are joined and taken apart again without leaving a listener behind. */
import type { Clock } from './runtime.ts'

/** A stretch of work that ends early for the first reason given. */
export interface Scope {
  /** Aborts when the parent does or `fail` is called. */
  readonly signal: AbortSignal
  /** Ends the work with a reason; later reasons are ignored. */
  readonly fail: (reason: unknown) => void
  /** Lets go of parent and timers. Call it when the work is over. */
  readonly close: () => void
  /** Ends the work with a reason after a wait; `Infinity` never does. [ms] */
  readonly failAfter: (clock: Clock, wait: number, reason: () => unknown) => void
}

/**
 * Opens a stretch of work under a parent signal.
 *
 * @param explain turns the parent's reason into ours. Default: passes it on.
 */
export function openScope(parent: AbortSignal | undefined, explain: (reason: unknown) => unknown = (r) => r): Scope {
  const controller = new AbortController()
  const cancels: (() => void)[] = []
  const fail = (reason: unknown) => controller.abort(reason)
  const follow = () => fail(explain(parent?.reason))
  if (parent?.aborted) follow()
  else parent?.addEventListener('abort', follow, { once: true })

  return {
    signal: controller.signal,
    fail,
    close: () => {
      parent?.removeEventListener('abort', follow)
      for (const cancel of cancels) cancel()
    },
    failAfter: (clock, wait, reason) => {
      if (wait !== Number.POSITIVE_INFINITY) cancels.push(clock.after(wait, () => fail(reason())))
    },
  }
}

/**
 * The outcome of `work`, or the signal's reason at the moment it aborts, whichever is first.
 *
 * @param abandon called with a result that arrives after the abort, to free what it holds.
 */
export function untilAborted<T>(signal: AbortSignal, work: Promise<T>, abandon?: (late: T) => void): Promise<T> {
  return new Promise<T>((resolve, reject) => {
    const stop = () => reject(signal.reason)
    if (signal.aborted) stop()
    else signal.addEventListener('abort', stop, { once: true })
    work.then(
      (value) => {
        signal.removeEventListener('abort', stop)
        if (signal.aborted) abandon?.(value)
        resolve(value)
      },
      (cause) => {
        signal.removeEventListener('abort', stop)
        reject(cause)
      },
    )
  })
}

/** Waits, unless the signal aborts first; then rejects with its reason and cancels the timer. [ms] */
export async function pause(clock: Clock, wait: number, signal: AbortSignal): Promise<void> {
  let cancel = () => {}
  const rung = new Promise<void>((resolve) => {
    cancel = clock.after(wait, resolve)
  })
  try {
    await untilAborted(signal, rung)
  } finally {
    cancel()
  }
}
