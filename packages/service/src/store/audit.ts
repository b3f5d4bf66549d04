/** Who changed what: one entry per change of state, written in the transaction of the change. */
import type { AuditRow } from './audit-schema.ts'
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
