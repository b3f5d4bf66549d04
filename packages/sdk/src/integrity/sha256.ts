/** SHA-256 of bytes (FIPS 180-4), 32 bytes, by WebCrypto. */
export async function sha256(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
}

/** Digest of bytes as text: `sha256:` and 64 lower-case hex digits. */
export async function sha256Text(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const hex = Array.from(await sha256(bytes), (byte) => byte.toString(16).padStart(2, '0'))
  return `sha256:${hex.join('')}`
}
