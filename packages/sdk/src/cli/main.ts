#!/usr/bin/env node
import { exitCodes } from './exit-codes.ts'
import { createNodeIo } from './node-io.ts'
import { run } from './run.ts'

process.exitCode = await run(process.argv.slice(2), createNodeIo())
// What was interrupted may still be reading.
if (process.exitCode === exitCodes.interrupted) process.exit()
