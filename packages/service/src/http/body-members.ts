/** Members of request bodies that the contract does not read. */
import type { FieldProblem } from '@fairpull/sdk/contract'

/** Members that are named in one answer; a body may hold any number that nobody knows. */
const MOST_NAMED = 50

/** Longest part of a name that is repeated in an answer. */
const LONGEST_NAME = 60

/** A refused member. */
export function fieldProblem(pointer: string, code: string, detail: string): FieldProblem {
  return { pointer, code, detail }
}

/** Members that nobody knows, each with what to do about it. */
export function unknownMembers(names: readonly string[], detail: string): FieldProblem[] {
  return names.slice(0, MOST_NAMED).map((name) => fieldProblem(pointerTo(name), 'ERR_UNKNOWN_MEMBER', detail))
}

/** JSON Pointer to a member of the body, RFC 6901 §3. */
function pointerTo(name: string): string {
  return `/${name.slice(0, LONGEST_NAME).replaceAll('~', '~0').replaceAll('/', '~1')}`
}
