/** Who changed what: one entry per change of state, written in the transaction of the change. */
import type { AuditEvent, AuditRow } from './audit-schema.ts'
import type { Database } from './database.ts'
import { uuidIds } from './ids.ts'

/** The statements that make the table. */
export const AUDIT_MIGRATIONS = [
  {
    name: '0401 audit',
    statement: `create table if not exists audit (
      tenant uuid not null, id uuid not null, at timestamptz not null, event text not null, subject uuid not null,
      primary key (tenant, id))`,
  },
] as const

/** Adds an entry. */
export async function note(db: Database, entry: Omit<AuditRow, 'id'>): Promise<void> {
  await db
    .insertInto('audit')
    .values({ id: uuidIds.next(), ...entry })
    .execute()
}

/** Stands for the service itself where no organisation made the change. */
const SERVICE = '00000000-0000-0000-0000-000000000000'

/** Adds an entry of the service itself. */
export async function noteOfService(db: Database, event: AuditEvent): Promise<void> {
  await note(db, { tenant: SERVICE, at: new Date(), event, subject: SERVICE })
}

/**
 * Adds an entry for a trust list that the service works with from now on, once for all starts of all replicas.
 *
 * @param digest SHA-256 of the list; its first half is the subject.
 */
export async function noteTrustList(db: Database, digest: Uint8Array, at: Date): Promise<void> {
  const subject = Buffer.from(digest.subarray(0, 16)).toString('hex')
  await db
    .insertInto('audit')
    .values({ tenant: SERVICE, id: subject, at, event: 'trust-list-taken', subject })
    .onConflict((conflict) => conflict.columns(['tenant', 'id']).doNothing())
    .execute()
}
