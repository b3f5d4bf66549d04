/** An operator's command line: every option has a value, whatever it begins with. */
import { expect, test } from 'vitest'
import { readOptions } from '../../packages/service/src/operator/options.ts'

test('a thumbprint may begin with a dash', () => {
  const args = ['trust', 'revoke', '--root', '/media/root.json', '--key', '-Pp8', '--from-index', '7']
  expect(readOptions(args)).toEqual({
    words: ['trust', 'revoke'],
    given: { root: '/media/root.json', key: '-Pp8', 'from-index': '7' },
  })
  expect(readOptions(['trust', 'revoke', '--key=--Pp8']).given).toEqual({ key: '--Pp8' })
  expect(readOptions(['keys', 'revoke', '--key', '--Pp8']).given).toEqual({ key: '--Pp8' })
})

test.each([
  [['trust', 'revoke', '--key']],
  [['trust', 'revoke', '--key', '--root', 'file']],
  [['trust', 'revoke', '--kye', 'x']],
])('%j is refused', (args) => {
  expect(() => readOptions(args)).toThrow(TypeError)
})
