declare module 'jstat' {
  const jstat: unknown
  export = jstat
}
