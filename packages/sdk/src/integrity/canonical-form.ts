/** Whether JSON that was read is written as RFC 8785 writes it. */
import canonicalize from 'canonicalize'

const encoder = new TextEncoder()

/**
 * Whether bytes are the RFC 8785 text of the value behind them.
 *
 * @param bytes as they came.
 * @param value what `parseStrictJson` read from them: nothing else, since JSON can say all of it and no guard is needed.
 *
 * Source: RFC 8785 §3.2. Tested: tests/adversarial/verify-summary.test.ts.
 */
export function isCanonicalForm(bytes: Uint8Array, value: unknown): boolean {
  const canonical = encoder.encode(canonicalize(value))
  return canonical.length === bytes.length && canonical.every((byte, index) => byte === bytes[index])
}
