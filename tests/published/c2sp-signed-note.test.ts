import { describe, expect, test } from 'vitest'
import { checkpointText, readCheckpointText } from '../../packages/sdk/src/integrity/checkpoint.ts'
import { readVerifierKey, verifierKeyText, verifyNote } from '../../packages/sdk/src/integrity/signed-note.ts'
import { acceptedValue, fromText } from '../adversarial/support/bytes.ts'
import { published, recordPublished, titleOf } from '../support/published.ts'

const check = published('note-1')
const vkey = String(check.inputs.vkey)
const text = String(check.inputs.text)

describe('C2SP signed-note', () => {
  test(titleOf(check), async () => {
    const verifier = acceptedValue(await readVerifierKey(vkey))
    const note = acceptedValue(await verifyNote(fromText(`${text}\n${String(check.expected)}\n`), [verifier]))
    expect(note).toEqual({ text, signers: [verifier] })
    recordPublished({ id: check.id, family: check.family, status: check.status })
  })

  test('the verifier key of the example is written as it was read', async () => {
    const { name, key } = acceptedValue(await readVerifierKey(vkey))
    expect(await verifierKeyText(name, key)).toBe(vkey)
  })
})

test('C2SP tlog-checkpoint: the text of the example is read and written alike', () => {
  const example = 'example.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n'
  const checkpoint = acceptedValue(readCheckpointText(example))
  expect(checkpoint).toMatchObject({ origin: 'example.com/behind-the-sofa', size: 20852163 })
  expect(checkpointText(checkpoint)).toBe(example)
})
