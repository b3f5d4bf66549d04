/** Requests as commands of a POSIX shell that run as they stand. Pure. */

/** A request to be shown. */
export interface ShownRequest {
  readonly method: string
  /** Address with parameters in braces; `plans/{id}` is written as `plans/$PLAN_ID`. */
  readonly address: string
  readonly takesKey: boolean
  /** Query parameters that have to be given, with values. */
  readonly query?: Readonly<Record<string, string>>
  /** Body; undefined where there is none. */
  readonly body?: unknown
  /** Media type of the body; JSON when absent. A body of lines is written as one line. */
  readonly mediaType?: string
}

const JSON_TYPE = 'application/json'

/** The command. The address of the service is in `$FAIRPULL`, the key in `$FAIRPULL_KEY`. */
export function shellExample({
  method,
  address,
  takesKey,
  query = {},
  body,
  mediaType = JSON_TYPE,
}: ShownRequest): string {
  const place = address.replaceAll(
    /([\w-]+)\/\{(\w+)\}/g,
    (_, of: string, name: string) => `${of}/$${variable(of, name)}`,
  )
  const given = Object.entries(query).map(([name, value]) => `${name}=${encodeURIComponent(value)}`)
  const asked = given.length === 0 ? '' : `?${given.join('&')}`
  const lines = [
    `curl --fail-with-body --silent --show-error "$FAIRPULL${place}${asked}"`,
    ...(method === 'post' && body === undefined ? ['  --request POST'] : []),
    ...(takesKey ? ['  --header "authorization: Bearer $FAIRPULL_KEY"'] : []),
    ...(body === undefined ? [] : [`  --header 'content-type: ${mediaType}'`, "  --data-binary @- <<'JSON'"]),
  ]
  const command = lines.join(' \\\n')
  return body === undefined
    ? command
    : `${command}\n${JSON.stringify(body, null, mediaType === JSON_TYPE ? 2 : 0)}\nJSON`
}

/** `plans` and `id` make `PLAN_ID`, `summaries` and `id` `SUMMARY_ID`; a thing that is named after itself stays `TILE`. */
function variable(of: string, name: string): string {
  const one = of.replace(/ies$/, 'y').replace(/s$/, '')
  return (one === name ? name : `${one}_${name}`).replaceAll('-', '_').toUpperCase()
}
