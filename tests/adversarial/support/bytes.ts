/** Bytes of hexadecimal text. */
export function fromHex(hex: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))
}

/** Lower-case hexadecimal text of bytes. */
export function toHex(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('hex')
}

/** UTF-8 bytes of text. */
export function fromText(text: string): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(text)
}

/** base64url without padding, by Node's own codec. */
export function base64url(bytes: Uint8Array | string): string {
  return Buffer.from(bytes).toString('base64url')
}

/** Bytes of base64url text, by Node's own codec. */
export function fromBase64url(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(Buffer.from(text, 'base64url'))
}

/** The value of an outcome that must have been accepted. @throws Error with the code when it was refused. */
export function acceptedValue<Value>(
  outcome: { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly problem: { code: string } },
): Value {
  if (outcome.ok) return outcome.value
  throw new Error(`refused with ${outcome.problem.code}`)
}

/** The code of an outcome; `accepted` when there is none. */
export function codeOf(
  outcome: { readonly ok: true } | { readonly ok: false; readonly problem: { code: string } },
): string {
  return outcome.ok ? 'accepted' : outcome.problem.code
}
