export * from '../engine/index.ts'
export { assess } from './assess.ts'
export { protocols } from './protocols.ts'
