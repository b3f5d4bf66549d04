/** Problem details for HTTP APIs, RFC 9457. Members that a later version adds are ignored. */
import * as z from 'zod/mini'
import { named } from './schema-parts.ts'

/** One refused input. */
export const fieldProblemSchema = named(
  'FieldProblem',
  z.object({ pointer: z.string(), code: z.string(), detail: z.string() }),
)

/** An error answer of the service. */
export const problemSchema = named(
  'Problem',
  z.object({
    type: z.string(),
    title: z.string(),
    status: z.int().check(z.gte(400), z.lte(599)),
    detail: z.string(),
    code: z.string().check(z.regex(/^ERR_[A-Z0-9_]+$/u)),
    requestId: z.string(),
    errors: z.exactOptional(z.array(fieldProblemSchema)),
  }),
)
