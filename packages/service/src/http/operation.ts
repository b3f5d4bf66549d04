/** What an operation is: data that the router and the OpenAPI document are both made from. */
import type { FieldProblem } from '@fairpull/sdk/contract'
import type { Caller } from '../ports.ts'
import type { UseCases } from '../usecases/use-cases.ts'
import type { Answer } from './answer.ts'
import type { Deprecation } from './deprecation.ts'
import type { ParameterSet, ValuesOf } from './parameter.ts'
import type { ProblemCode, Refusal } from './problem.ts'
import type { SchemaName } from './schema-names.ts'
import type { Scope } from './scope.ts'

/** A request body: how it is documented, and how it is read. */
export interface BodyFormat<Body> {
  /** Name of its schema. */
  readonly schema: SchemaName
  /** Complete bodies, by name; each is accepted as it stands. */
  readonly examples: Readonly<Record<string, unknown>>
  /** The body behind a JSON value, or every member that is refused. Never throws. */
  readonly read: (value: unknown) => BodyOutcome<Body>
}

/** A body that was read, or why not. */
export type BodyOutcome<Body> =
  | { readonly ok: true; readonly body: Body }
  | { readonly ok: false; readonly problems: readonly FieldProblem[] }

/** A successful answer, documented. */
export interface AnswerFormat {
  /** When it is given. */
  readonly description: string
  /** Name of the schema of its body. */
  readonly schema: SchemaName
  /** Media type of its body; JSON where absent. */
  readonly mediaType?: string
  /** The same in another media type, for those who ask for it. */
  readonly also?: { readonly mediaType: string; readonly schema: SchemaName }
  /** Header fields besides those that every answer carries. */
  readonly headers?: Readonly<Record<string, string>>
  /** An example body. */
  readonly example?: unknown
}

/** A request that an operation carries out; everything in it has been read and accepted. */
export interface OperationRequest<
  Path extends ParameterSet,
  Query extends ParameterSet,
  Header extends ParameterSet,
  Body,
  Access extends Scope | null,
> {
  /** Path parameters. */
  readonly path: ValuesOf<Path>
  /** Query parameters that were given. */
  readonly query: Partial<ValuesOf<Query>>
  /** Header fields that were given. */
  readonly header: Partial<ValuesOf<Header>>
  /** Who asks; undefined where no key is asked for. */
  readonly caller: Access extends Scope ? Caller : undefined
  /** The body; undefined where there is none. */
  readonly body: Body
  /** SHA-256 over method, address with query, and body: equal for repetitions of one request. */
  readonly digest: () => Uint8Array
}

/** What operations work with. */
export interface ServiceFace {
  /** What the service can do. */
  readonly useCases: UseCases
  /** The OpenAPI document, as it is served; made when it is first asked for. */
  readonly document: () => Uint8Array<ArrayBuffer>
  /** Figures of the service's own work, in the Prometheus text format. */
  readonly metricsText: () => Promise<string>
  /** The verifier page, as it was built. */
  readonly verifierPage: () => string
  /** Whether the service is shutting down. */
  readonly isDraining: () => boolean
}

/** One operation of the service. */
export interface Operation<
  Path extends ParameterSet = ParameterSet,
  Query extends ParameterSet = ParameterSet,
  Header extends ParameterSet = ParameterSet,
  Body = unknown,
  Access extends Scope | null = Scope | null,
> {
  /** Unique name, `operationId` in OpenAPI. */
  readonly id: string
  /** HTTP method; a `get` answers HEAD as well. */
  readonly method: 'get' | 'post'
  /** Address; path parameters in braces. */
  readonly address: string
  /** Group it is listed under. */
  readonly tag: 'Assessments' | 'Summaries' | 'Plans' | 'Studies' | 'Verification' | 'Protocols' | 'Service'
  /** What it does, in a few words. */
  readonly summary: string
  /** What a caller must know. */
  readonly description: string
  /** Scope that the API key must have; null where no key is asked for. */
  readonly scope: Access
  /** Path parameters by name. A text that none of them accepts answers 404. */
  readonly path: Path
  /** Query parameters by name; all are optional. */
  readonly query: Query
  /** Header fields by name; all are optional. */
  readonly header: Header
  /** Request body; null where there is none. */
  readonly body: BodyFormat<Body> | null
  /**
   * Present where the body is NDJSON: every line is a body, carried out and answered by itself, in order. The member
   * of a line's answer that holds the body of a success.
   */
  readonly eachLine?: string
  /** Successful answers by HTTP status. */
  readonly answers: Readonly<Record<number, AnswerFormat>>
  /** Refusals of its own, besides those that follow from scope, parameters and body. */
  readonly refusals: readonly ProblemCode[]
  /** Present where it is on its way out. */
  readonly deprecation?: Deprecation
  /** Whether it is answered while the service shuts down. */
  readonly whileDraining?: true
  /** Carries a request out. */
  handle(request: OperationRequest<Path, Query, Header, Body, Access>, service: ServiceFace): Promise<Answer | Refusal>
}

/** The operation as written, so that the request its `handle` gets has the types of its parameters and its body. */
export function operation<
  const Path extends ParameterSet,
  const Query extends ParameterSet,
  const Header extends ParameterSet,
  Body,
  const Access extends Scope | null,
>(written: Operation<Path, Query, Header, Body, Access>): Operation {
  return written as unknown as Operation
}
