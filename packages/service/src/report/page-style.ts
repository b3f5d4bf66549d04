/** Looks of the pages: one column, system fonts, dark where the reader's system is, paper where it is printed. */

/** Colours that are told apart by their words and signs as well; contrast at least 4.5 : 1 on their ground. */
const COLOURS = {
  light:
    '--paper:#fff;--ink:#16202b;--quiet:#4c5966;--rule:#cfd5dc;--soft:#f3f5f7;--link:#3d2a78;--violet:#4b2f8a;--good:#14532d;--middling:#7a3e00;--bad:#8c1d18',
  dark: '--paper:#12171d;--ink:#eef1f4;--quiet:#b0bac4;--rule:#3a4550;--soft:#1b222a;--link:#c9b6ff;--violet:#c9b6ff;--good:#8fd8a8;--middling:#f0bd7a;--bad:#ffaaa3',
} as const

const BASE = `
*{box-sizing:border-box}
html{color-scheme:light dark;${COLOURS.light};background:var(--paper);color:var(--ink);font:16px/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Liberation Sans",sans-serif;-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:46rem;padding:1.5rem 1rem 4rem;overflow-wrap:anywhere}
h1{font-size:1.5rem;line-height:1.25;margin:0 0 .25rem}
h2{font-size:1.2rem;margin:2.25rem 0 .5rem;padding-top:.6rem;border-top:1px solid var(--rule)}
h3{font-size:1rem;margin:1.25rem 0 .25rem}
p,ul,ol,dl,table{margin:.5rem 0}
a{color:var(--link)}
a:focus-visible,input:focus-visible,button:focus-visible,summary:focus-visible,[tabindex]:focus-visible{outline:3px solid var(--violet);outline-offset:2px}
.quiet{color:var(--quiet)}
.small{font-size:.875rem}
code,.digest{font-family:ui-monospace,"SF Mono",Consolas,"Liberation Mono",monospace;font-size:.875em;overflow-wrap:anywhere}
pre{background:var(--soft);padding:.75rem;overflow-x:auto;font-size:.85rem;line-height:1.4}
table{border-collapse:collapse;width:100%;font-size:.9rem;font-variant-numeric:tabular-nums}
caption{text-align:left;color:var(--quiet);padding-bottom:.25rem}
th,td{text-align:left;vertical-align:top;overflow-wrap:break-word;padding:.3rem .6rem .3rem 0;border-bottom:1px solid var(--rule)}
th{font-weight:600}
.number{text-align:right;white-space:nowrap;overflow-wrap:normal}
thead .number{white-space:normal}
.scroll{overflow-x:auto}
.scroll th[scope=row]{min-width:7rem}
dl.facts{display:grid;grid-template-columns:minmax(8rem,13rem) 1fr;gap:.25rem 1rem}
dl.facts dt{color:var(--quiet)}
dl.facts dd{margin:0}
.good{color:var(--good)}.middling{color:var(--middling)}.bad{color:var(--bad)}
.hidden{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip{position:absolute;left:-99rem}.skip:focus{position:static}
@media (max-width:34rem){dl.facts{grid-template-columns:1fr;gap:0}dl.facts dd{margin:0 0 .5rem}h1{font-size:1.3rem}}
@media (prefers-color-scheme:dark){html{${COLOURS.dark}}}
@media print{html{${COLOURS.light};font-size:10pt}body{max-width:none;padding:0}h2,h3{break-after:avoid}tr,li,figure{break-inside:avoid}a{color:inherit}thead{display:table-header-group}.scroll{overflow:visible}code,.digest{font-size:.8em}}
@page{margin:16mm 15mm}
`

/** The style sheet that every page begins with. Pure. */
export function pageStyle(): string {
  return squeezed(BASE)
}

/** A style sheet without line ends. */
export function squeezed(css: string): string {
  return css.trim().replaceAll(/\n+/g, '')
}
