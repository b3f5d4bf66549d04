/** What the exit code of the command says. Part of the interface: a code never changes its meaning. */
export const exitCodes = {
  /** Done: an assessment was made, or a summary is verified. */
  done: 0,
  /** The command or a file it names cannot be used. */
  input: 1,
  /** With `--strict`: the standing is `limited`; of `study`: something is missing. Of `check`: something is still missing. */
  limited: 2,
  /** With `--strict`: the standing is `invalid`. */
  invalid: 3,
  /** The summary is refused: altered, malformed, or signed by a key that must not have signed it. */
  refused: 4,
  /** The summary is intact, but nobody you trust vouches for the key; or the key is missing. */
  keyUnknown: 5,
  /** The comparison given is not the one that was judged, or its result does not come out again. */
  notRecomputed: 6,
  /** The service refused, or did not answer. */
  service: 7,
  /** The summary is as it was signed, and was withdrawn since. */
  withdrawn: 8,
  /** A fault of this programme. */
  fault: 70,
  /** Interrupted. */
  interrupted: 130,
} as const

/** One of the exit codes. */
export type ExitCode = (typeof exitCodes)[keyof typeof exitCodes]

/** The table of exit codes as it stands in the help. */
export const exitCodeHelp = `Exit codes:
  0  done: an assessment was made (of any standing), or the summary is verified
  1  the command, or a file it names, cannot be used
  2  with --strict: the standing is limited; of check: something is missing
  3  with --strict: the standing is invalid
  4  the summary is refused: altered, malformed, or not by a trusted key
  5  nobody you trust vouches for the key of the summary, or the key is missing
  6  the comparison is not the one judged, or the result does not come out again
  7  the service refused, or did not answer
  8  the summary was withdrawn
  70 a fault of this programme      130 interrupted`
