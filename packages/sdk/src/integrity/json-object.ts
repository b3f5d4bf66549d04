/** A JSON object of unknown members. */
export type JsonObject = Readonly<Record<string, unknown>>

/** Whether a JSON value is an object, and neither an array nor null. Pure. */
export function isJsonObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
