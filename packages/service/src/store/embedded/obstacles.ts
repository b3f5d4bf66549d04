/** One sentence per obstacle: what is wrong, and what the operator can do. */
import type { Obstacle } from '../failure.ts'

const ELSEWHERE = 'set DATABASE_URL to a PostgreSQL server'

/** musl: the bundled database is linked against the GNU C library. */
export function musl(): Obstacle {
  const sentence = `The bundled PostgreSQL needs the GNU C library and this system has musl (Alpine and the like): ${ELSEWHERE}, or use a Debian-based image.`
  return { code: 'ERR_MUSL', sentence }
}

/** The optional dependency is absent: left out on install, or never built for this platform. */
export function noPlatformPackage(name: string): Obstacle {
  const sentence = `The package ${name} with PostgreSQL for this platform is not installed: install again without --omit=optional, or ${ELSEWHERE} if there is none for this platform.`
  return { code: 'ERR_NO_PLATFORM_PACKAGE', sentence }
}

/** PostgreSQL refuses to run as root and there is nobody else to run it as. */
export function noUnprivilegedUser(reason: string): Obstacle {
  const sentence = `PostgreSQL must not run as root, and no other user can be used (${reason}): start Fairpull as an ordinary user, name one in FAIRPULL_DATABASE_USER, or ${ELSEWHERE}.`
  return { code: 'ERR_NO_UNPRIVILEGED_USER', sentence }
}

/** Making a cluster looks its user up by number; containers are often started under a number that nobody entered. */
export function userWithoutEntry(uid: number): Obstacle {
  const sentence = `The user with number ${uid} has no entry in the system's list of users, without which PostgreSQL cannot make its files: start Fairpull as a user who has one, or ${ELSEWHERE}.`
  return { code: 'ERR_USER_WITHOUT_ENTRY', sentence }
}

/** Programs may not be run from where they can be put. */
export function noexec(folder: string): Obstacle {
  const sentence = `Programs cannot be run from ${folder} (mounted noexec, or closed by a policy): set FAIRPULL_DATA to a folder where they can, or ${ELSEWHERE}.`
  return { code: 'ERR_NOEXEC', sentence }
}

/** The binaries start but end at once, most often for want of a newer system library. */
export function binariesDoNotRun(output: string): Obstacle {
  const [firstLine] = output.trim().split('\n')
  const sentence = `The bundled PostgreSQL does not run on this system (${firstLine || 'it says nothing'}): ${ELSEWHERE}.`
  return { code: 'ERR_BINARIES_DO_NOT_RUN', sentence }
}

/** The folder cannot be made or written to. */
export function folderNotWritable(folder: string, code: string): Obstacle {
  if (code === 'ENOSPC' || code === 'EDQUOT') {
    return {
      code: 'ERR_DISK_FULL',
      sentence: `There is too little room on the disk of ${folder}: free some and start again.`,
    }
  }
  const sentence = `The folder ${folder} cannot be written to (${code}): make it writable for this user, or set FAIRPULL_DATA to another folder.`
  return { code: 'ERR_FOLDER_NOT_WRITABLE', sentence }
}

/** The address of a Unix socket holds about a hundred bytes. */
export function socketPathTooLong(folder: string, longest: number): Obstacle {
  const sentence = `The path ${folder} is too long for a database socket (${longest} bytes at most) and no shorter folder can be used: set FAIRPULL_DATA to a folder with a shorter path.`
  return { code: 'ERR_SOCKET_PATH_TOO_LONG', sentence }
}

/** Another process of ours holds the folder. */
export function dataFolderInUse(folder: string, holder: string | null): Obstacle {
  const who = holder === null ? 'Another Fairpull service' : `Another Fairpull service (process ${holder})`
  const sentence = `${who} is using the data folder ${folder}: stop it first, or set FAIRPULL_DATA to another folder.`
  return { code: 'ERR_DATA_FOLDER_IN_USE', sentence }
}

/** A file without which the database cannot be opened is missing or does not fit. */
export function dataFolderDamaged(folder: string, what: string): Obstacle {
  const sentence = `The data folder ${folder} is damaged: ${what}; restore it from a backup, or move it away to start empty.`
  return { code: 'ERR_DATA_FOLDER_DAMAGED', sentence }
}

/** Another major version has another format on disk. */
export function otherDatabaseVersion(folder: string, found: string, ours: string): Obstacle {
  const sentence = `The database in ${folder} was written by PostgreSQL ${found} and this release brings ${ours}: start the release that wrote it, and move the data as the operations guide says.`
  return { code: 'ERR_OTHER_DATABASE_VERSION', sentence }
}

/**
 * The database program ended, or did not get ready.
 *
 * @param output what it wrote; the last lines are repeated.
 */
export function databaseDoesNotStart(source: string, output: string): Obstacle {
  const lastLines = output.trim().split('\n').slice(-3).join(' | ')
  const sentence = `The bundled PostgreSQL does not start; the end of ${source} reads: ${lastLines || '(nothing)'}`
  return { code: 'ERR_DATABASE_DOES_NOT_START', sentence }
}
