import type { TrustBundle } from '../integrity/index.ts'

/**
 * The private key of RFC 8037 appendix A.1, which everybody knows: what it signs is worth nothing outside a test.
 *
 * Never put it into a trust bundle that counts.
 */
export const testSigningKey = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
} as const

/** The private root key of the fake, RFC 8032 §7.1 TEST 2: everybody knows this one as well. */
export const testRootKey = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'TM0Imyj_ltqdtsNG7BFOD1uKMZ81q6Yk2oz27U-4pvs',
  x: 'PUAXw-hDiVqStwqnTRt-vJyYLM8uxJaMwM1V8Sr0Zgw',
} as const

/** Name of the issuing service in fixtures and of the fake. */
export const TEST_ISSUER = 'Fairpull test service'

/** Trust in the key of fixtures and fake, and in no other. */
export const testTrust: TrustBundle = {
  keys: [
    {
      jwk: { kty: 'OKP', crv: 'Ed25519', x: testSigningKey.x },
      issuer: TEST_ISSUER,
      notBefore: '2020-01-01T00:00:00Z',
    },
  ],
}
