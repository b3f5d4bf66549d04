import { resolve } from 'node:path'
import { z } from 'zod'

/** What the operator sets, read once at start. */
export interface Settings {
  /** `FAIRPULL_DATA`: folder of keys and of the embedded database, absolute. */
  readonly dataFolder: string
  /** `DATABASE_URL`: a PostgreSQL server in place of the embedded database. */
  readonly databaseUrl: string | undefined
  /** `FAIRPULL_DATABASE_USER`: who the embedded database runs as when the service is started as root. */
  readonly databaseUser: string | undefined
  /** `HOST`: address to listen on. */
  readonly host: string
  /** `PORT`: TCP port to listen on; 0 for any that is free. */
  readonly port: number
  /** `FAIRPULL_ISSUER`: name of the issuer in signed summaries. */
  readonly issuer: string
  /** `FAIRPULL_LOG_ORIGIN`: name of the log in its checkpoints, such as `log.example.org/dyno`; fixed by the first start. */
  readonly logOrigin: string | undefined
  /** `FAIRPULL_ORGANISATION`: name of the organisation that is made at first start; printed as submitter. */
  readonly organisation: string
  /** `FAIRPULL_BODY_LIMIT`: longest request body. [bytes] */
  readonly bodyLimit_bytes: number
  /** `FAIRPULL_RATE_LIMIT`: requests that an API key may make in a minute at each replica; 0 for no limit. */
  readonly rateLimit_perMinute: number
}

/** The settings, or one sentence per variable that cannot be used. */
export type SettingsOutcome =
  | { readonly ok: true; readonly settings: Settings }
  | { readonly ok: false; readonly sentences: readonly string[] }

/** Largest body that may be asked for. [bytes] */
const MOST_BODY_BYTES = 256 * 1024 * 1024

/** A whole number in digits, from `least` to `most`. */
function wholeNumber(least: number, most: number) {
  const sentence = `must be a whole number from ${least} to ${most}`
  return z
    .string()
    .regex(/^\d{1,12}$/, sentence)
    .transform(Number)
    .refine((value) => value >= least && value <= most, sentence)
}

/** A name as it is printed in summaries: one line, neither blank nor endless. */
const printedName = z
  .string()
  .regex(/^[^\p{C}\p{Zl}\p{Zp}]{1,200}$/u, 'must be a name of 1 to 200 characters on one line')
  .regex(/\S/, 'must not be blank')

const variables = z.object({
  FAIRPULL_DATA: z
    .string()
    .regex(/^[^\0]+$/, 'must be the path of a folder')
    .default('.fairpull'),
  DATABASE_URL: z
    .string()
    .refine(isPostgresUrl, 'must be the address of a PostgreSQL server, such as postgresql://user@host:5432/name')
    .optional(),
  FAIRPULL_DATABASE_USER: z
    .string()
    .regex(/^[A-Za-z0-9_][A-Za-z0-9_.-]*$/, 'must be the name or number of a system user')
    .optional(),
  HOST: z
    .string()
    .regex(/^[0-9A-Za-z.:_-]+$/, 'must be a host name or an address, without a port')
    .default('127.0.0.1'),
  PORT: wholeNumber(0, 65_535).default(8787),
  FAIRPULL_ISSUER: printedName.default('Unnamed Fairpull service'),
  FAIRPULL_LOG_ORIGIN: z
    .string()
    .regex(/^[^\s+]{1,200}$/u, 'must be a name without blanks and plus, such as log.example.org/dyno')
    .optional(),
  FAIRPULL_ORGANISATION: printedName.default('Unnamed organisation'),
  FAIRPULL_BODY_LIMIT: wholeNumber(1_024, MOST_BODY_BYTES).default(2 * 1024 * 1024),
  FAIRPULL_RATE_LIMIT: wholeNumber(0, 1_000_000).default(6_000),
})

/**
 * Reads the environment. A variable that is set to nothing counts as not set. Values are not repeated in the
 * sentences, since an address may hold a password.
 *
 * @param environment usually `process.env`.
 * @param folder the folder that a relative `FAIRPULL_DATA` starts from.
 */
export function readSettings(
  environment: Readonly<Record<string, string | undefined>>,
  folder: string,
): SettingsOutcome {
  const present = Object.entries(environment).filter(([, value]) => value !== undefined && value !== '')
  const read = variables.safeParse(Object.fromEntries(present))
  if (!read.success) {
    const sentences = read.error.issues.map((issue) => `The variable ${issue.path.join('.')} ${issue.message}.`)
    return { ok: false, sentences: [...new Set(sentences)] }
  }
  const { data } = read
  return {
    ok: true,
    settings: {
      dataFolder: resolve(folder, data.FAIRPULL_DATA),
      databaseUrl: data.DATABASE_URL,
      databaseUser: data.FAIRPULL_DATABASE_USER,
      host: data.HOST,
      port: data.PORT,
      issuer: data.FAIRPULL_ISSUER,
      logOrigin: data.FAIRPULL_LOG_ORIGIN,
      organisation: data.FAIRPULL_ORGANISATION,
      bodyLimit_bytes: data.FAIRPULL_BODY_LIMIT,
      rateLimit_perMinute: data.FAIRPULL_RATE_LIMIT,
    },
  }
}

function isPostgresUrl(text: string): boolean {
  return URL.canParse(text) && /^postgres(ql)?:$/.test(new URL(text).protocol)
}
