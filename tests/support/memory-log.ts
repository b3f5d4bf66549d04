export * from '../../packages/service/src/testing/memory-log.ts'
