/** The text of a UUID in lower case, RFC 9562 §4: the form of every identity that the service gives. */
export const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/
