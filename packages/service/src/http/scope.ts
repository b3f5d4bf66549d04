/** What an API key may permit, and what each scope is for. */
export const scopes = {
  'assessments:read': 'Read and list the assessments of the organisation.',
  'assessments:write': 'Have comparisons assessed, signed and stored.',
  'summaries:publish': 'Publish summaries of the organisation, and withdraw them.',
  'metrics:read': 'Read the figures of the service itself.',
} as const

/** One permission. */
export type Scope = keyof typeof scopes

/** All scopes: what the first key permits. */
export const allScopes = Object.keys(scopes) as readonly Scope[]
