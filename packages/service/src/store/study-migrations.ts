/** The statements that make the table of repeatability studies. */

/** Each idempotent, never edited once released. */
export const STUDY_MIGRATIONS = [
  {
    name: '0501 studies',
    statement: `create table if not exists studies (
      tenant uuid not null, id uuid not null, created_at timestamptz not null, facility text not null,
      gzip bytea not null, result bytea not null,
      primary key (tenant, id))`,
  },
  {
    name: '0502 studies by facility',
    statement: 'create index if not exists studies_facility on studies (tenant, facility, id)',
  },
  {
    name: '0503 studies: gzip as it is',
    statement: 'alter table studies alter column gzip set storage external',
  },
] as const
