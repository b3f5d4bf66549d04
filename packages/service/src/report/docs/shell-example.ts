/** Requests as commands of a POSIX shell that run as they stand. Pure. */

/** A request to be shown. */
export interface ShownRequest {
  readonly method: string
  /** Address with parameters in braces; `{id}` is written as `$ID`. */
  readonly address: string
  readonly takesKey: boolean
  /** Body; undefined where there is none. */
  readonly body?: unknown
}

/** The command. The address of the service is in `$FAIRPULL`, the key in `$FAIRPULL_KEY`. */
export function shellExample({ method, address, takesKey, body }: ShownRequest): string {
  const place = address.replaceAll(/\{(\w+)\}/g, (_, name: string) => `$${name.toUpperCase()}`)
  const lines = [
    `curl --fail-with-body --silent --show-error "$FAIRPULL${place}"`,
    ...(method === 'post' && body === undefined ? ['  --request POST'] : []),
    ...(takesKey ? ['  --header "authorization: Bearer $FAIRPULL_KEY"'] : []),
    ...(body === undefined ? [] : ["  --header 'content-type: application/json'", "  --data-binary @- <<'JSON'"]),
  ]
  const command = lines.join(' \\\n')
  return body === undefined ? command : `${command}\n${JSON.stringify(body, null, 2)}\nJSON`
}
