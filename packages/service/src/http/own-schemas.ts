/** Bodies that only this service knows, as JSON Schema 2020-12; those of the contract come from the contract. */
import { verificationCodes, verificationSteps } from '@fairpull/sdk/verify'
import type { SchemaObject } from 'openapi3-ts/oas31'
import { problemCodes } from './problem.ts'

const text = (description: string): SchemaObject => ({ type: 'string', description })
const word = (description: string, words: readonly string[]): SchemaObject => ({ enum: [...words], description })
const orNull = (schema: SchemaObject): SchemaObject => ({ ...schema, type: ['string', 'null'] })
const texts = (description: string): SchemaObject => ({ type: 'array', items: { type: 'string' }, description })
const count = (description: string): SchemaObject => ({ type: 'integer', minimum: 0, description })

/** An object all of whose members are there. */
function record(description: string, properties: Readonly<Record<string, SchemaObject>>): SchemaObject {
  return { type: 'object', description, properties, required: Object.keys(properties) }
}

const step = word('Step of the verification.', verificationSteps)
const pointer = text('JSON Pointer to the member; empty for the whole.')
const sentence = text('What that means, in one sentence.')

const failure = record('The step that failed.', {
  code: word('Stable code.', Object.keys(verificationCodes)),
  step,
  pointer,
  sentence,
})

const verificationReport = record('What a verification says: graded, step by step.', {
  verdict: word(
    '`verified`: every step passed and the key is trusted. `intact-key-unknown`: unaltered since somebody signed it, but ' +
      'nobody vouches for the key. `refused`: a step failed.',
    ['verified', 'intact-key-unknown', 'refused'],
  ),
  failure: { description: 'The step that failed; null when none did.', oneOf: [failure, { type: 'null' }] },
  steps: {
    type: 'array',
    description: 'Every step, in order.',
    items: record('One step.', {
      step,
      outcome: word('How it ended.', ['passed', 'failed', 'noted', 'not-checked', 'not-reached']),
      sentence,
    }),
  },
  integrity: word('Whether the text is exactly what the key signed.', ['intact', 'broken', 'not-shown']),
  key: record('Who may have signed.', {
    status: word('What is known of the key at the time of signing.', [
      'trusted',
      'unknown',
      'other-issuer',
      'outside-window',
      'revoked',
      'not-reached',
    ]),
    kid: orNull(text('Thumbprint of the key (RFC 7638); null when the header was not read.')),
  }),
  logged: record('Whether it is in the log.', {
    status: word(
      '`proven`: a trusted log holds it. `log-unknown`: the proof is sound, but nobody vouches for the log. `not-in-log`: ' +
        'the log at hand does not hold it. `refused`: the proof does not hold.',
      ['proven', 'log-unknown', 'not-in-log', 'not-checked', 'refused'],
    ),
    index: { type: ['integer', 'null'], description: 'Index in the log; null while it is not proven.' },
  }),
  withdrawn: record('Whether it was withdrawn.', {
    status: word('What the record says of a withdrawal.', ['withdrawn', 'not-withdrawn', 'not-checked']),
    asOf: orNull(text('When it was withdrawn, or up to when the record knew of none; null while it was not asked.')),
    reason: orNull(text('Why it was withdrawn; null when it was not.')),
  }),
  registration: record('Whether the plan came before the runs.', {
    stated: {
      enum: ['pre-registered', 'amended', 'none', null],
      description: 'What the issuer states; null when that was not reached.',
    },
    planFirst: word(
      '`yes`: the log holds the terms that were judged before every run. `no`: they were changed after the first run. ' +
        '`not-checkable`: what is at hand does not show it.',
      ['yes', 'no', 'no-plan', 'not-checkable', 'not-reached'],
    ),
  }),
  recomputed: record('Whether the numbers come out again.', {
    answer: word('Only `differs` accuses.', [
      'not-asked',
      'other-inputs',
      'inputs-match',
      'identical',
      'agrees-to-last-digit',
      'other-method-version',
      'differs',
    ]),
    members: texts('Members that are not equal, as JSON Pointers into the result, at most 100.'),
    memberCount: count('How many members are not equal.'),
    otherRuns: texts('Ids of signed runs that the comparison given lacks or holds otherwise.'),
  }),
  scope: {
    description: 'What it says of whom; null unless the signature is intact and the key may have signed it.',
    oneOf: [
      record('Of whom, and within which limits.', {
        issuer: text('Name of the issuing service.'),
        submitter: text('Name of the organisation that submitted the comparison.'),
        isOneParty: { type: 'boolean', description: 'Whether issuer and submitter are one party.' },
        issuedAt: text('Time of signing, in the words of the signer.'),
        supersedes: orNull(text('Summary that this one replaces; null if none.')),
        standing: word('Standing of the comparison.', ['valid', 'limited', 'invalid']),
        scope: texts('The limits within which a limited comparison holds.'),
        limits: texts('What the result does not show.'),
      }),
      { type: 'null' },
    ],
  },
  payload: {
    description: 'The signed payload; null when the summary was refused.',
    oneOf: [{ $ref: '#/components/schemas/SummaryPayload' }, { type: 'null' }],
  },
})

const withdrawalNotice = record('The withdrawal of a summary.', {
  id: text('Identity of the summary.'),
  withdrawnAt: text('When, RFC 3339 in UTC.'),
  reason: text('Why.'),
  notice: text('The signed withdrawal: compact JWS of type fairpull-withdrawal+jws.'),
  log: { $ref: '#/components/schemas/LogReceipt' },
})

const lineOfBatch = {
  line: { type: 'integer', minimum: 1, description: 'Number of the line in the body, blank lines counted.' },
  key: orNull(text('Key of the line; null where it could not be read.')),
  status: { type: 'integer', description: 'HTTP status that the line would have been answered with by itself.' },
} as const satisfies Readonly<Record<string, SchemaObject>>

/** Schemas by name. */
export const ownSchemas = {
  Text: text('Plain text.'),
  Bytes: { type: 'string', format: 'binary', description: 'Bytes.' },
  VerificationReport: verificationReport,
  VerificationRequest: {
    type: 'object',
    description: 'A signed summary to be verified.',
    properties: {
      summary: text('The signed summary: compact JWS.'),
      comparison: { $ref: '#/components/schemas/Comparison' },
      log: {
        description:
          'The place in the log that stands beside the summary in an answer. It is judged, not read strictly.',
      },
    },
    required: ['summary'],
    additionalProperties: false,
  },
  PlanRunSubmission: {
    type: 'object',
    description: 'A run to be logged under a plan.',
    properties: {
      challenge: text('Challenge of the plan, as it was answered when it was registered.'),
      run: { $ref: '#/components/schemas/Run' },
      mounting: { $ref: '#/components/schemas/Mounting' },
    },
    required: ['challenge', 'run'],
    additionalProperties: false,
  },
  PlanAmendmentRequest: {
    type: 'object',
    description: 'A new version of a plan.',
    properties: {
      reason: text('Why the plan is amended, in a sentence.'),
      plan: { $ref: '#/components/schemas/PlanRequest' },
    },
    required: ['reason', 'plan'],
    additionalProperties: false,
  },
  PlanAssessmentRequest: {
    type: 'object',
    description: 'Claims beside the registered ones; they are exploratory.',
    properties: {
      claims: {
        type: 'array',
        items: { $ref: '#/components/schemas/Claim' },
        maxItems: 50,
        description: 'Claims that were not registered.',
      },
    },
    additionalProperties: false,
  },
  PlanPage: record('One page of the list of plans, newest first.', {
    items: {
      type: 'array',
      items: record('A plan in the list.', {
        id: text('Identity of the plan.'),
        createdAt: { type: 'string', format: 'date-time', description: 'Time of registration.' },
        status: word('Where it stands.', ['open', 'running', 'closed', 'assessed', 'abandoned', 'withdrawn']),
        product: text('The product, in the form in which names are compared.'),
        assessment: orNull(text('Identity of its summary; null while there is none.')),
      }),
    },
    nextCursor: orNull(text('Where the next page begins; null after the last one.')),
  }),
  StudyPage: record('One page of the list of studies, newest first.', {
    items: {
      type: 'array',
      items: record('A study in the list.', {
        id: text('Identity of the study.'),
        registeredAt: { type: 'string', format: 'date-time', description: 'Time of registration.' },
        facility: text('The facility, in its own words.'),
        hasRecord: { type: 'boolean', description: 'Whether it gives a facility record.' },
        verdict: text('What it shows, in one sentence.'),
      }),
    },
    nextCursor: orNull(text('Where the next page begins; null after the last one.')),
  }),
  BatchLine: {
    type: 'object',
    description: 'One line of a batch: a comparison and its key.',
    properties: {
      key: {
        type: 'string',
        pattern: '^[\\x21-\\x7e]{1,255}$',
        description: 'Makes the line safe to repeat, as `Idempotency-Key` does: 1 to 255 visible ASCII characters.',
      },
      comparison: { $ref: '#/components/schemas/Comparison' },
    },
    required: ['key', 'comparison'],
    additionalProperties: false,
  },
  BatchAnswerLine: {
    description: 'One line of the answer to a batch.',
    oneOf: [
      record('A line was assessed.', {
        ...lineOfBatch,
        replayed: { type: 'boolean', description: 'Whether this is the answer of an earlier time.' },
        assessment: { $ref: '#/components/schemas/IssuedSummary' },
      }),
      {
        ...record('A line was refused.', { ...lineOfBatch, problem: { $ref: '#/components/schemas/Problem' } }),
        properties: {
          ...lineOfBatch,
          retryAfter: count('When to send the line again, in seconds; absent where that would not help.'),
          problem: { $ref: '#/components/schemas/Problem' },
        },
      },
      record('The last line: nothing is missing.', {
        end: { const: true },
        lines: count('How many lines were answered.'),
      }),
    ],
  },
  AssessmentPage: record('One page of the list of assessments, newest first.', {
    items: {
      type: 'array',
      items: record('An assessment in the list.', {
        id: text('Identity of the summary.'),
        createdAt: { type: 'string', format: 'date-time', description: 'Time of signing.' },
        status: word('Who may read it.', ['private', 'published', 'withdrawn']),
      }),
    },
    nextCursor: orNull(text('Where the next page begins; null after the last one.')),
  }),
  ProtocolList: record('The protocols that this service judges by.', {
    items: {
      type: 'array',
      items: record('A protocol in the list.', {
        id: text('Name and version.'),
        title: text('What it is for.'),
      }),
    },
  }),
  PublicationRequest: {
    ...record('What to publish.', {
      runs: { type: 'boolean', description: 'Whether the runs are published as well.' },
    }),
    additionalProperties: false,
  },
  WithdrawalRequest: {
    ...record('Why a summary is taken back.', { reason: text('The reason, for everybody to read.') }),
    additionalProperties: false,
  },
  WithdrawalNotice: withdrawalNotice,
  SummaryStatus: record('How a summary stands.', {
    id: text('Identity of the summary.'),
    status: word('Who may read it.', ['private', 'published', 'withdrawn']),
    publishedAt: orNull(text('Since when anybody may read it; null while nobody may.')),
    withRuns: { type: 'boolean', description: 'Whether its runs were published as well.' },
    withdrawal: { description: 'The notice; null while it stands.', oneOf: [withdrawalNotice, { type: 'null' }] },
  }),
  SignedTrustList: record('The trust list.', {
    list: text('The signed list: compact JWS of type fairpull-trust+jws. This is what is verified.'),
    root: text('RFC 7638 thumbprint of the root key; compare it with the one you have from elsewhere.'),
    version: count('Its version, for reading; the signed one counts.'),
    expiresAt: text('Until when it may be used, for reading.'),
  }),
  KeySet: record('Public keys, RFC 7517.', {
    keys: {
      type: 'array',
      items: record('An Ed25519 public key, RFC 8037.', {
        kty: { const: 'OKP' },
        crv: { const: 'Ed25519' },
        x: text('The public key, base64url.'),
        kid: text('RFC 7638 thumbprint; stands in the header of every signature.'),
        alg: { const: 'Ed25519' },
        use: { const: 'sig' },
      }),
    },
  }),
  Health: {
    type: 'object',
    description: 'State of the process.',
    required: ['status'],
    properties: {
      status: word('Its state.', ['live', 'ready', 'reads-only']),
      log: text('Why the log takes no entries; absent while it does.'),
    },
  },
  ProblemPage: record('A type of error answer.', {
    code: word('Stable code.', problemCodes),
    title: text('Short title.'),
    status: { type: 'integer', description: 'HTTP status.' },
    about: text('What it means and what to do.'),
  }),
  OpenApiDocument: {
    type: 'object',
    description: 'An OpenAPI 3.1 document.',
    properties: { openapi: text('Version of OpenAPI.') },
    required: ['openapi', 'info', 'paths'],
  },
} as const satisfies Readonly<Record<string, SchemaObject>>
