import { describe, expect, test } from 'vitest'
import { readCheckpointText, signCheckpoint, verifyCheckpoint } from '../../packages/sdk/src/integrity/checkpoint.ts'
import {
  type NoteVerifier,
  parseNote,
  readVerifierKey,
  signNote,
  verifierKeyText,
  verifyNote,
} from '../../packages/sdk/src/integrity/signed-note.ts'
import { acceptedValue, codeOf, fromHex, fromText } from './support/bytes.ts'
import { byteMutants } from './support/mutants.ts'
import { knownSigningKey, otherSigningKey } from './support/summary-fixture.ts'

const NAME = 'bench.example/log'
const key = await knownSigningKey()
const other = await otherSigningKey()
const verifierOf = async (name: string, signing: typeof key): Promise<NoteVerifier> =>
  acceptedValue(await readVerifierKey(await verifierKeyText(name, signing)))
const log = await verifierOf(NAME, key)
const witness = await verifierOf('witness.example', other)

const text = 'First line.\n\nThird line.\n'
const note = await signNote(text, NAME, key)
const signatureLine = note.slice(text.length + 1)
const witnessLine = (await signNote(text, 'witness.example', other)).slice(text.length + 1)

describe('a signed note', () => {
  test('is text, a blank line and a signature line, and verifies', async () => {
    expect(note.startsWith(`${text}\n— ${NAME} `)).toBe(true)
    expect(await verifyNote(fromText(note), [log])).toEqual({ ok: true, value: { text, signers: [log] } })
  })

  test('passes over signatures of unknown keys, and counts a known key once', async () => {
    const many = fromText(`${text}\n${witnessLine}${signatureLine}${signatureLine}`)
    expect(acceptedValue(await verifyNote(many, [log])).signers).toEqual([log])
    expect(acceptedValue(await verifyNote(many, [log, witness])).signers).toEqual([witness, log])
  })

  test('is refused whole when the signature of one known key is wrong, whatever else is right', async () => {
    const bytes = fromText(`${text}\n${signatureLine}${witnessLine.slice(0, -9)}${'A'.repeat(8)}\n`)
    expect(codeOf(await verifyNote(bytes, [log, witness]))).toBe('ERR_NOTE_SIGNATURE_BROKEN')
    expect(codeOf(await verifyNote(bytes, [log]))).toBe('accepted')
  })

  test('needs a known key: the same name with another key is another key', async () => {
    expect(codeOf(await verifyNote(fromText(note), []))).toBe('ERR_NOTE_NO_KNOWN_SIGNATURE')
    expect(codeOf(await verifyNote(fromText(note), [await verifierOf(NAME, other)]))).toBe(
      'ERR_NOTE_NO_KNOWN_SIGNATURE',
    )
    expect(codeOf(await verifyNote(fromText(note), [{ ...(await verifierOf(NAME, other)), keyId: log.keyId }]))).toBe(
      'ERR_NOTE_SIGNATURE_BROKEN',
    )
  })

  test('with one bit flipped or one byte dropped, doubled, inserted or moved never verifies', async () => {
    const survivors: string[] = []
    for (const mutant of byteMutants(note)) {
      if (mutant !== note && (await verifyNote(fromText(mutant), [log])).ok) survivors.push(mutant)
    }
    expect(survivors).toEqual([])
  })

  const malformed: Readonly<Record<string, string | Uint8Array>> = {
    nothing: '',
    'text alone': text,
    'no blank line': `line\n${signatureLine}`,
    'no last line feed': note.slice(0, -1),
    'a tab': `a\tb\n\n${signatureLine}`,
    'a carriage return': `a\r\n\n${signatureLine}`,
    'bytes that are not UTF-8': fromHex('ff0a0a'),
    'a hyphen for the dash': note.replace('—', '-'),
    'two blanks before the signature': note.replace(`${NAME} `, `${NAME}  `),
    'a name with plus': note.replace(NAME, 'bench+example'),
    'no name': note.replace(`${NAME} `, ''),
    'a signature without padding': `${text}\n— ${NAME} AAAAAAA\n`,
    'a signature of a key ID only': `${text}\n— ${NAME} AAAAAA==\n`,
    'text after the signature': `${note}more\n`,
  }
  for (const [says, bytes] of Object.entries(malformed)) {
    test(`with ${says} is refused: ERR_NOTE_FORM`, () => {
      expect(codeOf(parseNote(typeof bytes === 'string' ? fromText(bytes) : bytes))).toBe('ERR_NOTE_FORM')
    })
  }

  test('may have 64 signatures, not 65', () => {
    expect(codeOf(parseNote(fromText(`${text}\n${witnessLine.repeat(64)}`)))).toBe('accepted')
    expect(codeOf(parseNote(fromText(`${text}\n${witnessLine.repeat(65)}`)))).toBe('ERR_NOTE_TOO_MANY_SIGNATURES')
  })

  test('is never made of a text or a name that cannot stand in it', async () => {
    for (const bad of ['no line feed', 'a tab\t\n', ''])
      await expect(signNote(bad, NAME, key)).rejects.toThrow(RangeError)
    for (const bad of ['', 'a b', 'a+b', 'a\u00a0b']) await expect(signNote(text, bad, key)).rejects.toThrow(RangeError)
  })
})

describe('a verifier key', () => {
  test('is read back as it was written', async () => {
    expect(log).toMatchObject({ name: NAME, key: { kid: key.kid } })
    expect(await verifierKeyText(log.name, log.key)).toBe(await verifierKeyText(NAME, key))
  })

  test('with the ID of another key, another type or a point of small order is refused', async () => {
    const written = await verifierKeyText(NAME, key)
    const smallOrder = Buffer.from([1, 1, ...new Array(31).fill(0)]).toString('base64')
    const ecdsa = Buffer.from([2, ...Buffer.from(key.jwk.x, 'base64url')]).toString('base64')
    expect(codeOf(await readVerifierKey(written.replace(log.keyId, witness.keyId)))).toBe('ERR_NOTE_KEY_ID')
    expect(codeOf(await readVerifierKey(written.replace(NAME, 'other.example')))).toBe('ERR_NOTE_KEY_ID')
    expect(codeOf(await readVerifierKey(`${NAME}+${log.keyId}+${ecdsa}`))).toBe('ERR_NOTE_KEY_FORM')
    expect(codeOf(await readVerifierKey(`${NAME}+00000000+${smallOrder}`))).toBe('ERR_KEY_SMALL_ORDER')
    for (const bad of ['', NAME, `${NAME}+00000000`, `${NAME}+0000000G+AAAA`, ` ${written}`, `${written}=`]) {
      expect(codeOf(await readVerifierKey(bad))).toBe('ERR_NOTE_KEY_FORM')
    }
  })
})

describe('a checkpoint', () => {
  const checkpoint = { origin: NAME, size: 1234, root: Uint8Array.from({ length: 32 }, (_, at) => at) }

  test('signed by the log verifies, and needs the log’s own signature', async () => {
    const signed = fromText(await signCheckpoint(checkpoint, key))
    expect(await verifyCheckpoint(signed, log)).toEqual({ ok: true, value: checkpoint })
    const byWitness = fromText(await signNote(`${NAME}\n1\n${'A'.repeat(43)}=\n`, 'witness.example', other))
    expect(codeOf(await verifyCheckpoint(byWitness, log, [witness]))).toBe('ERR_CHECKPOINT_NOT_BY_LOG')
  })

  test('is not the log’s because a witness bears the log’s name', async () => {
    const namesake = await verifierOf(NAME, other)
    const signed = fromText(await signCheckpoint(checkpoint, other))
    expect(codeOf(await verifyCheckpoint(signed, log, [namesake]))).toBe('ERR_CHECKPOINT_NOT_BY_LOG')
  })

  test('that is no note, or a note that is no checkpoint, is refused', async () => {
    expect(codeOf(await verifyCheckpoint(fromText('no note'), log))).toBe('ERR_NOTE_FORM')
    expect(codeOf(await verifyCheckpoint(fromText(note), log))).toBe('ERR_CHECKPOINT_FORM')
  })

  test('of another origin under the log’s key is refused', async () => {
    const signed = fromText(await signNote(`other.example\n1\n${'A'.repeat(43)}=\n`, NAME, key))
    expect(codeOf(await verifyCheckpoint(signed, log))).toBe('ERR_CHECKPOINT_ORIGIN')
  })

  const root = `${'A'.repeat(43)}=`
  const malformed: Readonly<Record<string, string>> = {
    'no origin': `\n1\n${root}\n`,
    'two lines': `${NAME}\n1\n`,
    'a leading zero': `${NAME}\n01\n${root}\n`,
    'a negative size': `${NAME}\n-1\n${root}\n`,
    'a size beyond 2^53': `${NAME}\n9007199254740992\n${root}\n`,
    'a size in hexadecimal': `${NAME}\n0x10\n${root}\n`,
    'a root of 31 bytes': `${NAME}\n1\n${'A'.repeat(42)}==\n`,
    'a root with stray bits': `${NAME}\n1\n${'A'.repeat(42)}B=\n`,
    'no last line feed': `${NAME}\n1\n${root}`,
    'an empty extension line': `${NAME}\n1\n${root}\n\n`,
  }
  for (const [says, bad] of Object.entries(malformed)) {
    test(`with ${says} is refused`, () => expect(codeOf(readCheckpointText(bad))).toBe('ERR_CHECKPOINT_FORM'))
  }

  test('of an empty tree and with extension lines is read', () => {
    expect(codeOf(readCheckpointText(`${NAME}\n0\n${root}\nmore\n`))).toBe('accepted')
  })
})
