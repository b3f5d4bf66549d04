/** Every option of an operator's commands. */
export const options = {
  name: { type: 'string' },
  organisation: { type: 'string' },
  scopes: { type: 'string' },
  key: { type: 'string' },
  root: { type: 'string' },
  'from-index': { type: 'string' },
  'overlap-hours': { type: 'string' },
} as const

/** Options that were given, by name. */
export type Options = { readonly [Name in keyof typeof options]?: string }
