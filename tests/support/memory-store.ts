export * from '../../packages/service/src/testing/memory-store.ts'
