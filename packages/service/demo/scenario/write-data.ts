/** Writes the demo's files for the committed seed: `node dist/demo/scenario/write-data.js FOLDER`. */
import { mkdir, rm, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { committedSeed, demoFiles, demoNames } from './index.ts'

const [, , folder] = process.argv
if (folder === undefined) throw new TypeError('name the folder to write, for example packages/service/demo/data')

for (const name of demoNames) {
  await rm(join(folder, name), { recursive: true, force: true })
  for (const file of demoFiles(name, committedSeed)) {
    const path = join(folder, name, file.name)
    await mkdir(dirname(path), { recursive: true })
    await writeFile(path, file.text)
  }
}
