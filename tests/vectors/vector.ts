import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect } from 'vitest'

/** One vector of the statistical method, computed by an independent implementation of measurement-model. */
export interface Vector {
  readonly name: string
  readonly kind: string
  readonly doc: string
  // biome-ignore lint/suspicious/noExplicitAny: a vector's input is whatever its kind says; its runner reads it.
  readonly input: any
  readonly expected: unknown
  readonly tol: number
}

/** Every vector, in file order. */
export function allVectors(): readonly Vector[] {
  const folder = join(dirname(fileURLToPath(import.meta.url)), 'method')
  return readdirSync(folder)
    .filter((name) => name.endsWith('.json'))
    .toSorted()
    .map((name) => JSON.parse(readFileSync(join(folder, name), 'utf8')) as Vector)
}

/** Members that are compared as sets. */
const SETS = new Set(['flags', 'runs', 'filled'])

/**
 * Holds what was got against what is expected: every number the vector names to |got − want| ≤ tol |want| + 1e-12, texts,
 * booleans and null exactly. Members that the vector does not name are not compared.
 */
export function expectVector(got: unknown, expected: unknown, tol: number, path = ''): void {
  if (typeof expected === 'number') {
    expect(typeof got, `${path} is a number`).toBe('number')
    const miss = Math.abs((got as number) - expected)
    expect(miss <= tol * Math.abs(expected) + 1e-12, `${path}: got ${got}, want ${expected}`).toBe(true)
    return
  }
  if (Array.isArray(expected)) {
    expect(Array.isArray(got), `${path} is a list`).toBe(true)
    const list = got as unknown[]
    const isSet = SETS.has(path.split('.').at(-1) ?? '')
    if (isSet) expect([...list].toSorted(), path).toEqual([...expected].toSorted())
    else {
      expect(list.length, `${path} length`).toBe(expected.length)
      expected.forEach((want, i) => {
        expectVector(list[i], want, tol, `${path}[${i}]`)
      })
    }
    return
  }
  if (typeof expected === 'object' && expected !== null) {
    expect(typeof got === 'object' && got !== null, `${path} is an object, got ${String(got)}`).toBe(true)
    for (const [name, want] of Object.entries(expected)) {
      expectVector((got as Record<string, unknown>)[name], want, tol, path === '' ? name : `${path}.${name}`)
    }
    return
  }
  expect(got, path).toBe(expected)
}
