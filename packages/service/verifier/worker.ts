/** Reads, verifies and recomputes away from the page, so that the page stays answerable. */
import { assess } from '@fairpull/sdk/engine'
import { type VerificationReport, verifySummary } from '@fairpull/sdk/verify'
import { type Contents, readFiles } from './files.ts'
import type { Answer, Question } from './messages.ts'
import { verifierWords as words } from './words.ts'

function say(answer: Answer): void {
  postMessage(answer)
}

async function answer(question: Question): Promise<void> {
  say({ kind: 'stage', stage: 'reading' })
  const contents = await readFiles(question)
  if (contents.summary === null) {
    say({ kind: 'done', files: contents.files, report: null, notRecomputed: null })
    return
  }
  say({ kind: 'stage', stage: 'verifying' })
  say({ kind: 'done', files: contents.files, ...(await verified(contents)) })
}

interface Verified {
  readonly report: VerificationReport
  readonly notRecomputed: string | null
}

/** A comparison that cannot be judged at all must not hide what the signature says. */
async function verified({ summary, comparison, trust, keys }: Contents): Promise<Verified> {
  const known = { keys, ...(trust === null ? {} : { trust }) }
  if (comparison === null) return { report: await verifySummary(summary, known), notRecomputed: null }
  const recompute: typeof assess = (data) => {
    say({ kind: 'stage', stage: 'recomputing' })
    return assess(data)
  }
  try {
    return { report: await verifySummary(summary, { ...known, comparison, recompute }), notRecomputed: null }
  } catch {
    return { report: await verifySummary(summary, known), notRecomputed: words.notComputable }
  }
}

addEventListener('message', ({ data }: MessageEvent<Question>) => {
  answer(data).catch(() => say({ kind: 'failed', sentence: words.failed }))
})
