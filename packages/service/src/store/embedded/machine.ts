import { spawn } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { dirname } from 'node:path'

/** An operating-system user by numbers. */
export interface SystemUser {
  readonly uid: number
  readonly gid: number
}

/** How a short-lived program ended. */
export interface ProgramEnd {
  /** Exit status; null when a signal ended it or it never started. */
  readonly status: number | null
  /** System error code when it could not be started, such as `EACCES`. */
  readonly startError: string | null
  /** What it wrote to both outputs. */
  readonly output: string
}

/** What the supervisor has to know of the machine it runs on. Tests put another in its place. */
export interface Machine {
  readonly platform: NodeJS.Platform
  readonly arch: string
  /** Whether the C library is musl, for which there is no build of the database. */
  readonly isMusl: boolean
  /** User of this process; undefined where the system has none. */
  readonly user: SystemUser | undefined
  /** Folders in which a socket may lie, best first; each short and there. */
  readonly socketParents: readonly string[]
  /** Parent of database folders that cannot lie in the data folder. */
  readonly sharedParent: string
  /** Folder of an installed npm package; undefined when it is not installed. */
  packageFolder(name: string): string | undefined
  /** A user by name, from the system's list. */
  findUser(name: string): SystemUser | undefined
  /** Runs a program to its end, as another user if given. */
  run(program: string, args: readonly string[], user: SystemUser | undefined): Promise<ProgramEnd>
}

/** The machine this process runs on. */
export function thisMachine(): Machine {
  const uid = process.getuid?.()
  const gid = process.getgid?.()
  return {
    platform: process.platform,
    arch: process.arch,
    isMusl: process.platform === 'linux' && runsOnMusl(),
    user: uid === undefined || gid === undefined ? undefined : { uid, gid },
    socketParents: [...(uid === 0 ? ['/run'] : []), tmpdir(), '/tmp'].filter((folder) => existsSync(folder)),
    sharedParent: '/var/lib/fairpull',
    packageFolder,
    findUser,
    run,
  }
}

/** Node's own binary tells which C library it was linked against: only the GNU one reports its version. */
function runsOnMusl(): boolean {
  const report = process.report
  Object.assign(report, { excludeNetwork: true })
  const { header } = report.getReport() as { header?: { glibcVersionRuntime?: string } }
  return header?.glibcVersionRuntime === undefined
}

function packageFolder(name: string): string | undefined {
  try {
    return dirname(dirname(createRequire(import.meta.url).resolve(name)))
  } catch {
    return undefined
  }
}

function findUser(name: string): SystemUser | undefined {
  const line = passwdLines().find((candidate) => candidate[0] === name)
  const [uid, gid] = [Number(line?.[2]), Number(line?.[3])]
  return Number.isInteger(uid) && Number.isInteger(gid) ? { uid, gid } : undefined
}

function passwdLines(): readonly (readonly string[])[] {
  try {
    return readFileSync('/etc/passwd', 'utf8')
      .split('\n')
      .map((line) => line.split(':'))
  } catch {
    return []
  }
}

/** Variables a database program needs; none of ours, so that no secret and no `PG…` setting reaches it. */
export const PROGRAM_ENVIRONMENT = { PATH: '/usr/bin:/bin', LC_ALL: 'C', TZ: 'UTC' }

function run(program: string, args: readonly string[], user: SystemUser | undefined): Promise<ProgramEnd> {
  return new Promise((resolve) => {
    let output = ''
    const end = (status: number | null, startError: string | null) => resolve({ status, startError, output })
    const child = spawn(program, args, {
      env: PROGRAM_ENVIRONMENT,
      cwd: '/',
      stdio: ['ignore', 'pipe', 'pipe'],
      ...user,
    })
    child.stdout?.on('data', (chunk: Buffer) => {
      output += chunk.toString()
    })
    child.stderr?.on('data', (chunk: Buffer) => {
      output += chunk.toString()
    })
    child.on('error', (error: NodeJS.ErrnoException) => end(null, error.code ?? 'UNKNOWN'))
    child.on('close', (status) => end(status, null))
  })
}
