import type { ownSchemas } from './own-schemas.ts'

/** Schemas of the contract that operations name. */
type ContractSchemaName =
  | 'Comparison'
  | 'DryRun'
  | 'IssuedSummary'
  | 'PlanCounters'
  | 'PlanRecord'
  | 'PlanRequest'
  | 'Problem'
  | 'Protocol'
  | 'RegisteredStudy'
  | 'RunCheckReport'
  | 'RunCheckRequest'
  | 'RunLogged'
  | 'Study'
  | 'StudyCharts'
  | 'SampleSizeReport'
  | 'SampleSizeRequest'

/** A schema that an operation may name. */
export type SchemaName = ContractSchemaName | keyof typeof ownSchemas
