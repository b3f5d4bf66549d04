/** A disk of a few megabytes, where the machine lets one be mounted. */
import { spawnSync } from 'node:child_process'
import { chmodSync, mkdtempSync, rmSync, statfsSync, truncateSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** A mounted disk. */
export interface SmallDisk {
  readonly path: string
  /** Takes the room of the disk but for so much. [bytes] */
  fill(left: number): void
  /** Gives it back. */
  free(): void
  remove(): void
}

/** Mounts a disk; undefined where that is not allowed. */
export function mountSmallDisk(size_MiB: number): SmallDisk | undefined {
  const path = mkdtempSync(join(tmpdir(), 'fairpull-disk-'))
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${size_MiB}m,mode=711`, 'fairpull-test', path])
  if (mounted.status !== 0) {
    rmSync(path, { recursive: true })
    return undefined
  }
  chmodSync(path, 0o711)
  const filler = join(path, 'filler')
  return {
    path,
    fill: (left) => {
      const { bavail, bsize } = statfsSync(path)
      writeFileSync(filler, new Uint8Array(Math.max(0, Number(bavail) * Number(bsize) - left)))
    },
    free: () => truncateSync(filler),
    remove: () => {
      spawnSync('umount', ['-l', path])
      rmSync(path, { recursive: true, force: true })
    },
  }
}
