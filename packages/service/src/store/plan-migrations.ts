/** The statements that make the tables of registered plans. */

/** Each idempotent, never edited once released. */
export const PLAN_MIGRATIONS = [
  {
    name: '0201 plans',
    statement: `create table if not exists plans (
      tenant uuid not null, id uuid not null, created_at timestamptz not null, publisher text not null,
      product text not null, vehicle text not null, quantity text not null, status text not null,
      challenge text not null, salt text not null, planned integer not null, counted integer not null,
      logged integer not null, assessment uuid,
      primary key (tenant, id))`,
  },
  {
    name: '0202 plans by product',
    statement: 'create index if not exists plans_product on plans (tenant, product)',
  },
  {
    name: '0203 plans by publisher',
    statement: 'create index if not exists plans_publisher on plans (publisher, product)',
  },
  {
    name: '0204 plan versions',
    statement: `create table if not exists plan_versions (
      tenant uuid not null, plan uuid not null, version integer not null, at timestamptz not null, reason text,
      log_index bigint not null, after_first_run boolean not null, terms bytea not null,
      primary key (tenant, plan, version))`,
  },
  {
    name: '0205 plan runs',
    statement: `create table if not exists plan_runs (
      tenant uuid not null, plan uuid not null, number integer not null, run text not null, digest text not null,
      gzip bytea not null, mounting text, mounting_digest text, mounting_json bytea, received_at timestamptz not null,
      excluded_by text, log_index bigint, receipt text,
      primary key (tenant, plan, number))`,
  },
  {
    name: '0206 plan runs by their ids',
    statement: 'create unique index if not exists plan_runs_run on plan_runs (tenant, plan, run)',
  },
  {
    name: '0207 plan runs: gzip as it is',
    statement: 'alter table plan_runs alter column gzip set storage external',
  },
] as const
