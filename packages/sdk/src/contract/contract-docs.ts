/**
 * The TSDoc comments of the contract, read from its source: the one place where a member is explained.
 *
 * Reads only what the contract is written in: `export interface` and `export type` at the start of a line, members one
 * a line (`readonly name?: …`) with a comment above, types of members written in place.
 */

/** What the comments say of one type. */
export interface TypeDoc {
  /** The type. */
  readonly description: string
  /** Its members, those of the type it extends included. */
  readonly members: Readonly<Record<string, string>>
}

/** What the comments say, by type: `Run`, or `Protocol.assumed` for the type of a member written in place. */
export type ContractDocs = Readonly<Record<string, TypeDoc>>

interface OpenType {
  readonly name: string
  readonly description: string
  readonly base: string | undefined
  readonly isAlias: boolean
  readonly members: Map<string, string>
}

interface Reader {
  readonly types: Map<string, OpenType>
  readonly open: OpenType[]
  comment: string | undefined
}

const OPENING =
  /^export (?:interface|type) (?<name>\w+)(?:<[^=]*>)?(?: extends (?:Omit<)?(?<parent>\w+)| = (?<part>\w+)(?:<.*>)? &)?/u
const MEMBER = /readonly (?<member>\w+)\??:/gu

/**
 * The documentation of every exported type.
 *
 * @param sources texts of the contract's files, in any order. Pure; never throws.
 */
export function contractDocs(sources: readonly string[]): ContractDocs {
  const reader: Reader = { types: new Map(), open: [], comment: undefined }
  for (const source of sources) readSource(reader, source)
  const docs = [...reader.types.values()].map((type) => [type.name, typeDoc(reader, type)] as const)
  return Object.fromEntries(docs)
}

function typeDoc({ types }: Reader, { description, base, members }: OpenType): TypeDoc {
  const inherited = base === undefined ? undefined : types.get(base)
  return { description, members: Object.fromEntries([...(inherited?.members ?? []), ...members]) }
}

function readSource(reader: Reader, source: string): void {
  for (const part of source.split(/(\/\*\*[\s\S]*?\*\/)/u)) {
    if (part.startsWith('/**')) reader.comment = commentText(part)
    else for (const line of part.split('\n')) readLine(reader, line)
  }
  reader.open.length = 0
}

function commentText(comment: string): string {
  const lines = comment.slice(3, -2).split('\n')
  const text = lines.map((line) => line.replace(/^\s*\* ?/u, '').trim()).join('\n')
  return text.trim().replace(/(?<!\n)\n(?!\n)/gu, ' ')
}

function readLine(reader: Reader, line: string): void {
  const opening = OPENING.exec(line)?.groups
  if (opening !== undefined) {
    openType(reader, line, opening)
    return
  }
  if (/^(?:export |const |function |import )/u.test(line)) {
    reader.open.length = 0
    reader.comment = undefined
  }
  const type = reader.open.at(-1)
  if (type === undefined) return
  if (/^\s*\}/u.test(line)) reader.open.pop()
  for (const { groups } of line.matchAll(MEMBER)) readMember(reader, type, groups?.member ?? '')
  const inPlace = /readonly (?<member>\w+)\??: \{$/u.exec(line)?.groups?.member
  if (inPlace !== undefined) begin(reader, `${type.name}.${inPlace}`, type.members.get(inPlace) ?? '', undefined, false)
}

function openType(reader: Reader, line: string, opening: Readonly<Record<string, string | undefined>>): void {
  reader.open.length = 0
  const base = opening.parent ?? opening.part
  begin(reader, opening.name ?? '', reader.comment ?? '', base, line.startsWith('export type'))
  reader.comment = undefined
}

function begin(reader: Reader, name: string, description: string, base: string | undefined, isAlias: boolean): void {
  const type = { name, description, base, isAlias, members: new Map<string, string>() }
  reader.types.set(name, type)
  reader.open.push(type)
}

/** Members of a choice that is written on one line share the comment of the choice. */
function readMember(reader: Reader, type: OpenType, member: string): void {
  const description = reader.comment ?? (type.isAlias ? type.description : '')
  if (!type.members.has(member)) type.members.set(member, description)
  reader.comment = undefined
}
