/** `1st`, `2nd`, `3rd`, `11th`. */
export function ordinal(number: number): string {
  const tens = number % 100
  const ending = tens >= 11 && tens <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][number % 10] ?? 'th')
  return `${number}${ending}`
}
