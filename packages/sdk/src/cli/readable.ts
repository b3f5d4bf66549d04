import type { Result } from '../contract/index.ts'

/** Whether a result has the form this version shows; one of a newer version may have words nobody here knows. */
export async function isReadable(result: Result): Promise<boolean> {
  const { resultSchema } = await import('../contract/schemas.ts')
  return resultSchema.safeParse(result).success
}
