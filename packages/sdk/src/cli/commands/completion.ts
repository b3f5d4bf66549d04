import { Command } from 'commander'
import { CommandError } from '../command-error.ts'
import { type CompletedWord, completionScript, isShell, shells } from '../completion-script.ts'
import { exitCodes } from '../exit-codes.ts'
import type { WordContext } from '../word.ts'

/** Defines `fairpull completion`. */
export function define(command: Command, context: WordContext): void {
  command
    .argument('<shell>', shells.join(', '))
    .addHelpText(
      'after',
      '\nPrints a script for the shell to read.\n\nExamples:\n  fairpull completion bash > ~/.local/share/bash-completion/completions/fairpull\n  fairpull completion zsh > ~/.zfunc/_fairpull\n  fairpull completion fish > ~/.config/fish/completions/fairpull.fish',
    )
    .action(async (shell: string) => {
      if (!isShell(shell)) {
        throw new CommandError(
          'input',
          `there is no script for "${shell}"; there is one for ${shells.join(', ')}.`,
          'fairpull completion bash',
        )
      }
      context.io.stdout.write(completionScript(shell, await completedWords(context)))
      context.end(exitCodes.done)
    })
}

/** Every word with its options, as its own file defines them. */
async function completedWords(context: WordContext): Promise<readonly CompletedWord[]> {
  return Promise.all(
    context.words.map(async ({ name, summary, load }) => {
      const command = new Command(name)
      const { define: defineWord } = await load()
      defineWord(command, context)
      const options = command.options.map(({ long, description }) => ({ name: long ?? '', description }))
      return { name, summary, options: options.filter((option) => option.name !== '') }
    }),
  )
}
