/** The session file: YAML that a person writes, as the members of a comparison, with the place of each. */
import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  parseDocument,
  type Scalar,
} from 'yaml'
import { comparisonSchema } from '../contract/comparison-schema.ts'
import { type MemberPath, pointerTo } from '../contract/field-problem.ts'
import { memberNames, typesAt } from '../contract/schema-walk.ts'
import { ImportError, type ImportProblem, problemOf } from './import-error.ts'
import { decodeText } from './text.ts'
import { writtenQuantity } from './written-quantity.ts'

/** A place in a text. */
export interface TextPlace {
  /** Line, from 1. */
  readonly line: number
  /** Character in it, from 1. */
  readonly character: number
}

/** What a session file says. */
export interface SessionText {
  /** Its members; what was left empty is not there. */
  readonly members: Readonly<Record<string, unknown>>
  /** Where a value stands, or the name of it; of a member that is missing, where it would belong. */
  readonly placeOf: (pointer: string, of?: 'value' | 'name') => TextPlace | undefined
  /** Whether a quantity belongs at a pointer. */
  readonly isQuantity: (pointer: string) => boolean
}

interface Reading {
  readonly document: Document
  readonly places: Map<string, number>
  readonly names: Map<string, number>
  /** Where a quantity belongs and something else stands. */
  readonly illWritten: Set<string>
  /** The whole file as plain values: what a member may be can depend on its neighbour. */
  readonly plain: unknown
}

/**
 * The members of a session file.
 *
 * A member without a value was not recorded and is left out. A quantity may be written `250 kPa` in place of
 * `{ value: 250, unit: kPa }`, and with what belongs to it `250 kPa set-cold`. Where a text is wanted, a number is its text.
 *
 * @throws ImportError with line and character for whatever is not YAML; `file` is the caller's to fill in.
 */
export function parseSessionYaml(bytes: Uint8Array): SessionText {
  const lines = new LineCounter()
  const document = parseDocument(decodeText(bytes).text, { lineCounter: lines, prettyErrors: false })
  const at = (offset: number): TextPlace => {
    const { line, col } = lines.linePos(offset)
    return { line, character: col }
  }
  // What follows a first fault mostly follows from it.
  const [fault] = [...document.errors, ...document.warnings]
  if (fault !== undefined) throw new ImportError(notYaml(fault.message, at(fault.pos[0])))

  const reading: Reading = {
    document,
    places: new Map(),
    names: new Map(),
    illWritten: new Set(),
    plain: plainOf(document),
  }
  const members = isMap(document.contents) ? readNode(document.contents, [], reading) : undefined
  if (typeof members !== 'object' || members === null) throw new ImportError(notASession())
  return {
    members: members as Readonly<Record<string, unknown>>,
    placeOf: (pointer, of = 'value') => {
      const offset = (of === 'name' ? reading.names.get(pointer) : undefined) ?? nearest(pointer, reading.places)
      return offset === undefined ? undefined : at(offset)
    },
    isQuantity: (pointer) => reading.illWritten.has(pointer),
  }
}

/** @throws ImportError where aliases stand for nothing, or for so much that a small file becomes large without end. */
function plainOf(document: Document): unknown {
  try {
    return document.toJS()
  } catch {
    throw new ImportError(badAliases())
  }
}

/** A member that is missing would belong where its parent stands; at the top it may stand anywhere. */
function nearest(pointer: string, places: ReadonlyMap<string, number>): number | undefined {
  let here = pointer
  while (!places.has(here) && here !== '') here = here.slice(0, here.lastIndexOf('/'))
  return here === '' ? undefined : places.get(here)
}

function readNode(node: unknown, path: MemberPath, reading: Reading): unknown {
  if (isAlias(node)) return readNode(node.resolve(reading.document), path, reading)
  note(node, path, reading)
  if (isMap(node)) return membersOf(node.items, path, reading)
  if (isSeq(node)) return elementsOf(node.items, path, reading)
  return isScalar(node) ? scalarOf(node, path, reading) : undefined
}

/** Where an empty value stands is its name. */
function note(node: unknown, path: MemberPath, { places, names }: Reading): void {
  const pointer = pointerTo(path)
  const isEmpty = isScalar(node) && node.value === null
  const start = isEmpty ? names.get(pointer) : (node as Node | null)?.range?.[0]
  if (start !== undefined) places.set(pointer, start)
}

type Pairs = readonly { readonly key: unknown; readonly value: unknown }[]

/** Members that say something; a group of which none does was not recorded either. */
function membersOf(pairs: Pairs, path: MemberPath, reading: Reading): unknown {
  const members = pairs.flatMap(({ key, value }) => {
    const name = isScalar(key) ? String(key.source ?? key.value) : String(key)
    const start = (key as Node | null)?.range?.[0]
    if (start !== undefined) reading.names.set(pointerTo([...path, name]), start)
    const said = readNode(value, [...path, name], reading)
    return said === undefined ? [] : [[name, said] as const]
  })
  return members.length === 0 && path.length > 0 ? undefined : Object.fromEntries(members)
}

function elementsOf(items: readonly unknown[], path: MemberPath, reading: Reading): unknown {
  const elements: unknown[] = []
  for (const item of items) {
    const said = readNode(item, [...path, elements.length], reading)
    if (said !== undefined) elements.push(said)
  }
  return elements
}

function scalarOf({ value, source }: Scalar, path: MemberPath, { plain, illWritten }: Reading): unknown {
  if (value === null || value === undefined) return undefined
  const names = memberNames(comparisonSchema, plain, schemaPath(path))
  if (names.includes('value') && names.includes('unit')) {
    const quantity = typeof value === 'string' ? quantityIn(value, names) : undefined
    if (quantity === undefined) illWritten.add(pointerTo(path))
    return quantity ?? value
  }
  if (typeof value === 'string') return value
  if (source !== undefined && isTextWanted(path, plain)) return source
  return Object.is(value, -0) ? 0 : value
}

/** What belongs to a quantity besides value and unit and may stand behind it. */
const BESIDE = ['state', 'place'] as const

function quantityIn(text: string, names: readonly string[]): object | undefined {
  const written = writtenQuantity(text)
  if (written === undefined) return undefined
  const { value, unit, word } = written
  const beside = BESIDE.find((name) => names.includes(name))
  if (word === undefined) return { value, unit }
  return beside === undefined ? undefined : { value, unit, [beside]: word }
}

/** `batch: 7` is the text 7, and so is a header that is a number. */
function isTextWanted(path: MemberPath, plain: unknown): boolean {
  if (path[0] === 'columns') return path.at(-1) !== 'stoichiometric'
  const types = typesAt(comparisonSchema, plain, schemaPath(path))
  return types.length > 0 && types.every((type) => type === 'string')
}

/** What holds for every run stands at the top of a session file, and in each run of a comparison. */
function schemaPath(path: MemberPath): MemberPath {
  const [top, ...rest] = path
  return top === 'processing' || top === 'origin' ? ['runs', 0, top, ...rest] : [top, ...rest].filter(isStep)
}

function isStep(step: PropertyKey | undefined): step is PropertyKey {
  return step !== undefined
}

function notYaml(message: string, { line, character }: TextPlace): ImportProblem {
  const [first = message] = message.split('\n')
  return problemOf({
    code: 'ERR_SESSION_NOT_YAML',
    line,
    character,
    detail: `this is not YAML: ${first.charAt(0).toLowerCase()}${first.slice(1).replace(/\.?$/, '')}.`,
    fix: 'Indent with blanks, put a blank after each colon, and quotation marks around text that holds : or #.',
  })
}

function notASession(): ImportProblem {
  return problemOf({
    code: 'ERR_SESSION_REFUSED',
    detail: 'the file holds no members.',
    fix: 'Begin with the line "protocol: motorcycle-rollers@1"; fairpull init writes a file to fill in.',
  })
}

function badAliases(): ImportProblem {
  return problemOf({
    code: 'ERR_SESSION_REFUSED',
    detail: 'an alias (*) stands for nothing, or aliases stand for too much.',
    fix: 'Write the values out in place of aliases.',
  })
}
