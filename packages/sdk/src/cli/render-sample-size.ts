/** Sample sizes as a person reads them. Pure. */
import type { SampleSizeReport } from '../contract/index.ts'
import type { Page } from './page.ts'

/** Adds the advised designs, what they rest on, and what they leave out. */
export function saySampleSize(page: Page, { verdict, designs, figures, limits, protocol }: SampleSizeReport): void {
  const { signs } = page.look
  page.say(verdict, { tint: designs.some(({ isEnough }) => isEnough) ? 'good' : 'middling' })
  if (designs.length > 0) page.section('Designs, the advised one first')
  designs.forEach(({ sentence, isEnough, runs }, index) => {
    const enough = isEnough ? '' : ' It does not reach the target.'
    page.say(`${sentence} ${runs} measured runs in all.${enough}`, { first: `  ${index + 1}. ` })
  })
  page.section('What the figures rest on')
  for (const { sentence } of figures) page.say(sentence, { first: `  ${signs.bullet} ` })
  page.section('What they leave out')
  for (const sentence of limits) page.say(sentence, { first: `  ${signs.bullet} ` })
  page.say(`Protocol ${protocol}.`, { first: '  ', tint: 'quiet' })
}
