export * from '../../packages/service/src/testing/memory-plans.ts'
