/** The 32 bytes of `sha256:` and 64 hex digits. */
export function digestBytes(text: string): Uint8Array {
  return Buffer.from(text.slice('sha256:'.length), 'hex')
}
