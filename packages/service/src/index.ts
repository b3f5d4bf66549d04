/** The service as a part of another program: tests, the demo, and `main.ts`. */
export { type AppDeps, createApp } from './app.ts'
export { readSettings, type Settings, type SettingsOutcome } from './env.ts'
export { allScopes, type Scope, scopes } from './http/scope.ts'
export { type RunningService, type StartOptions, startService } from './start-service.ts'
export { StartRefused } from './store/failure.ts'
