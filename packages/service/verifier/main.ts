/** The verifier page: files in, report out. The work is done by a worker whose program stands in the page. */
import type { Answer, GivenFile, Question } from './messages.ts'
import { shown } from './show.ts'
import { verifierWords as words } from './words.ts'

/** An element that the page is made with. */
function part<T extends HTMLElement>(id: string, kind: new () => T): T {
  const found = document.getElementById(id)
  if (found instanceof kind) return found
  throw new TypeError(`the page has no ${id}`)
}

const page = {
  files: part('files', HTMLInputElement),
  issuer: part('issuer', HTMLInputElement),
  clear: part('clear', HTMLButtonElement),
  progress: part('progress', HTMLElement),
  report: part('report', HTMLElement),
}

const state: { given: readonly GivenFile[]; worker: Worker | null } = { given: [], worker: null }

/** A fresh worker per question: one that is still at work on an older question is ended. */
function ask(question: Question): void {
  state.worker?.terminate()
  const program = part('worker-program', HTMLScriptElement).text
  const address = URL.createObjectURL(new Blob([program], { type: 'text/javascript' }))
  const worker = new Worker(address)
  state.worker = worker
  worker.addEventListener('message', ({ data }: MessageEvent<Answer>) => {
    URL.revokeObjectURL(address)
    if (state.worker === worker) take(data)
  })
  worker.addEventListener('error', () => take({ kind: 'failed', sentence: words.failed }))
  worker.postMessage(question)
}

function take(answer: Answer): void {
  page.progress.textContent = answer.kind === 'stage' ? words.stage[answer.stage] : ''
  if (answer.kind === 'stage') return
  if (answer.kind === 'failed') page.report.textContent = answer.sentence
  else page.report.replaceChildren(...shown(answer))
}

/** Files add up; one of the same name takes the place of the older. */
async function add(files: Iterable<File>): Promise<void> {
  const added = await Promise.all(
    Array.from(files, async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
  )
  state.given = [...state.given.filter(({ name }) => !added.some((file) => file.name === name)), ...added]
  check()
}

function check(): void {
  if (state.given.length > 0) ask({ files: state.given, issuer: page.issuer.value.trim() })
}

function clear(): void {
  state.worker?.terminate()
  state.given = []
  page.files.value = ''
  page.progress.textContent = ''
  page.report.replaceChildren()
}

/** Whether this browser verifies Ed25519 here: it takes a recent one, and a page from disk or over TLS. */
async function hasSignatures(): Promise<boolean> {
  try {
    await crypto.subtle.importKey('raw', new Uint8Array(32), 'Ed25519', false, ['verify'])
    return true
  } catch {
    return false
  }
}

page.files.addEventListener('change', () => {
  void add(page.files.files ?? [])
})
page.issuer.addEventListener('change', check)
page.clear.addEventListener('click', clear)
addEventListener('dragover', (event) => event.preventDefault())
addEventListener('drop', (event) => {
  event.preventDefault()
  void add(event.dataTransfer?.files ?? [])
})
void hasSignatures().then((has) => {
  if (!has) page.report.textContent = words.noCrypto
})
