/** What a method of the client gives back: a promise that can also answer without throwing, or with its response. */
import type { VerificationError } from '../integrity/index.ts'
import type { Answer } from './answer.ts'
import { type ClientError, isFairpullError } from './errors.ts'

/** Everything a call can fail with; told apart by `name` or `code`. */
export type CallFailure = ClientError | (VerificationError & { readonly name: 'VerificationError' })

/** An outcome instead of an exception. */
export type SafeOutcome<T> =
  | { readonly ok: true; readonly value: T; readonly requestId: string | null }
  | { readonly ok: false; readonly error: CallFailure; readonly requestId: string | null }

/** A value with the response it came in. */
export interface WithResponse<T> {
  /** The value. */
  readonly data: T
  /** The response, its body already received; read it as often as `clone()` allows. */
  readonly response: Response
  /** Identity the service gave the request; null if none. */
  readonly requestId: string | null
}

interface Arrival<T> {
  readonly data: T
  readonly answer: Answer
}

/**
 * A call under way. `await` it for the value; it has been sent either way.
 *
 * @example
 * const outcome = await fairpull.assessments.get(id).safe()
 * if (outcome.ok) console.log(outcome.value.result.verdict)
 * else console.error(outcome.error.code)
 */
export class Call<T> implements Promise<T> {
  readonly [Symbol.toStringTag] = 'Call'
  readonly #arrival: Promise<Arrival<T>>

  constructor(answer: Promise<Answer>, read: (answer: Answer) => T | Promise<T>) {
    this.#arrival = answer.then(async (arrived) => ({ data: await read(arrived), answer: arrived }))
  }

  /** The value, or a thrown error. */
  // biome-ignore lint/suspicious/noThenProperty: a call is awaited like the promise it stands for
  then<A = T, B = never>(
    onValue?: ((value: T) => A | PromiseLike<A>) | null,
    onError?: ((reason: unknown) => B | PromiseLike<B>) | null,
  ): Promise<A | B> {
    return this.#arrival.then(({ data }) => data).then(onValue, onError)
  }

  /** As of a promise. */
  catch<B = never>(onError?: ((reason: unknown) => B | PromiseLike<B>) | null): Promise<T | B> {
    return this.then(null, onError)
  }

  /** As of a promise. */
  finally(onEnd?: (() => void) | null): Promise<T> {
    return this.then().finally(onEnd)
  }

  /**
   * The outcome as a value: what the client would throw is in `error`.
   *
   * @throws only what is not an error of this package, such as one thrown by a hook.
   */
  async safe(): Promise<SafeOutcome<T>> {
    try {
      const { data, answer } = await this.#arrival
      return { ok: true, value: data, requestId: answer.exchange.requestId }
    } catch (error) {
      if (!isFairpullError(error)) throw error
      return { ok: false, error: error as CallFailure, requestId: requestIdIn(error) }
    }
  }

  /** The value together with the response. */
  async withResponse(): Promise<WithResponse<T>> {
    const { data, answer } = await this.#arrival
    return { data, response: responseOf(answer), requestId: answer.exchange.requestId }
  }
}

/** A response over bytes that have been received. */
export function responseOf(answer: Answer): Response {
  const body = answer.bytes.byteLength === 0 ? null : answer.bytes
  return new Response(body, { status: answer.status, headers: answer.headers })
}

function requestIdIn(error: Error): string | null {
  return 'requestId' in error && typeof error.requestId === 'string' ? error.requestId : null
}
