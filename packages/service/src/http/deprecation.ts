/** The way out for an operation: said in its answers and in the OpenAPI document long before it goes. */

/** Since when an operation should not be used any more, and until when it answers. */
export interface Deprecation {
  /** First day. [RFC 3339 date] */
  readonly since: string
  /** Last day; at least a year after `since`. [RFC 3339 date] */
  readonly until: string
  /** Address of what takes its place; absent where nothing does. */
  readonly successor?: string
}

/** Header fields of every answer of such an operation. RFC 9745 (Deprecation), RFC 8594 (Sunset), RFC 5829 (Link). Pure. */
export function deprecationFields({ since, until, successor }: Deprecation): Readonly<Record<string, string>> {
  return {
    deprecation: `@${Date.parse(`${since}T00:00:00Z`) / 1000}`,
    sunset: new Date(`${until}T00:00:00Z`).toUTCString(),
    ...(successor === undefined ? {} : { link: `<${successor}>; rel="successor-version"` }),
  }
}
