/** The verifier page around its two programs. Made when the service is built; see `build/verifier-page.ts`. */
import { verifierWords as words } from '../../verifier/words.ts'
import { type Markup, markup, textOf, trustedMarkup } from './markup.ts'
import { contentHash } from './page.ts'
import { pageStyle, squeezed } from './page-style.ts'

/** The programs of the page, bundled. */
export interface VerifierPrograms {
  /** Runs in the page. */
  readonly main: string
  /** Runs in the worker. */
  readonly worker: string
}

const STYLE = `
.standing{font-size:1.15rem;font-weight:700;margin:1.5rem 0 .25rem}
.verdict{font-size:1.1rem}
.plain{list-style:none;padding:0}
label{display:block;font-weight:600;margin-top:1rem}
input[type=file],input[type=text]{font:inherit;width:100%;padding:.6rem;border:2px dashed var(--quiet);background:var(--soft);color:var(--ink);border-radius:.25rem}
input[type=text]{border-style:solid;border-width:1px}
button{font:inherit;margin-top:1rem;padding:.5rem 1rem;border:1px solid var(--quiet);border-radius:.25rem;background:var(--soft);color:var(--ink);min-height:2.75rem}
#progress{min-height:1.5rem;margin:1rem 0 0}
`

/**
 * The page as one file.
 *
 * The policy permits exactly the program and the style sheet in it, and a worker from a Blob URL, whose program is bound
 * by the same policy: neither can load or send anything. It stands in the page, so that a saved copy keeps it.
 *
 * @throws RangeError when a program holds what would end its element early; a defect of the build.
 */
export function verifierPage({ main, worker }: VerifierPrograms): string {
  for (const program of [main, worker]) {
    if (/<\/script|<!--/i.test(program)) throw new RangeError('a program of the verifier page would end its element')
  }
  const style = pageStyle() + squeezed(STYLE)
  const policy = `default-src 'none'; script-src '${contentHash(main)}'; style-src '${contentHash(style)}'; worker-src blob:; base-uri 'none'; form-action 'none'`
  return textOf(markup`<!doctype html>
<html lang="${words.language}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${words.title}</title>
<style>${trustedMarkup(style)}</style>
</head>
<body>
${body()}
<script type="text/plain" id="worker-program">${trustedMarkup(worker)}</script>
<script>${trustedMarkup(main)}</script>
</body>
</html>
`)
}

function body(): Markup {
  return markup`<main>
<h1>${words.title}</h1>
<p>${words.lead}</p>
<noscript><p class="bad">${words.noScript}</p></noscript>
<label for="files">${words.choose}</label>
<p class="quiet small" id="files-hint">${words.chooseHint}</p>
<input type="file" id="files" multiple aria-describedby="files-hint">
<label for="issuer">${words.issuer}</label>
<p class="quiet small" id="issuer-hint">${words.issuerHint}</p>
<input type="text" id="issuer" autocomplete="off" spellcheck="false" aria-describedby="issuer-hint">
<button type="button" id="clear">${words.clear}</button>
<p id="progress" class="quiet" role="status"></p>
<div id="report" aria-live="polite"></div>
</main>`
}
