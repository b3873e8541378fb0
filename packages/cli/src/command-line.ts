import { parseArgs } from 'node:util'
import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import type { Command, CommandOption, Given } from './command.ts'
import { UsageError } from './exit-status.ts'

const HELP: CommandOption = { name: 'help', about: 'this text' }

/** The options of a command, with the one that all have. */
export function optionsOf(command: Command): readonly CommandOption[] {
  return [...command.options, HELP]
}

/** Reads the words after the command's name. 'help' when that was asked for; UsageError when something is wrong. */
export function readCommandLine(command: Command, words: readonly string[]): Given | 'help' {
  const options = optionsOf(command)
  const { tokens } = parseArgs({
    args: [...words],
    strict: false,
    allowPositionals: true,
    tokens: true,
    options: {
      ...Object.fromEntries(
        options.map(option => [
          option.name,
          { type: option.value === undefined ? ('boolean' as const) : ('string' as const) },
        ]),
      ),
      help: { type: 'boolean', short: 'h' },
    },
  })
  const values = new Map<string, string[]>()
  const positionals: string[] = []
  for (const token of tokens) {
    if (token.kind === 'positional') positionals.push(token.value)
    if (token.kind !== 'option') continue
    const option = options.find(each => each.name === token.name)
    if (option === undefined) throw unknownOption(command, token.rawName)
    if (option.value === undefined && token.value !== undefined) {
      throw new UsageError(`--${option.name} takes no value, but was given "${token.value}".`)
    }
    if (option.value !== undefined && (token.value === undefined || token.value === '')) {
      throw new UsageError(`--${option.name} needs a value: --${option.name} ${option.value}.`)
    }
    const given = values.get(option.name) ?? []
    if (given.length > 0 && option.value !== undefined && !option.repeated) {
      throw new UsageError(`--${option.name} is given twice; it may stand only once.`)
    }
    values.set(option.name, [...given, token.value ?? ''])
  }
  if (values.has('help')) return 'help'
  checkPresence(command, positionals, values)
  return {
    arguments: positionals,
    words,
    switch: name => values.has(name),
    text: name => values.get(name)?.[0],
    texts: name => values.get(name) ?? [],
    count: (name, usual, least, most) => countOf(name, values.get(name)?.[0], usual, least, most),
  }
}

function unknownOption(command: Command, rawName: string): UsageError {
  const names = optionsOf(command).map(option => option.name)
  const nearest = nearestWord(rawName.replace(/^-+/, ''), names)
  const hint = nearest === null ? `See attemper ${command.name} --help.` : `Did you mean --${nearest}?`
  return new UsageError(`attemper ${command.name} has no option ${rawName}. ${hint}`)
}

function checkPresence(
  command: Command,
  positionals: readonly string[],
  values: ReadonlyMap<string, unknown>,
): void {
  const missing = command.arguments[positionals.length]
  if (missing !== undefined && !missing.optional) {
    throw new UsageError(`${missing.name} is missing: ${missing.about}. Usage: ${usageLine(command)}`)
  }
  const extra = positionals[command.arguments.length]
  if (extra !== undefined) {
    throw new UsageError(`"${extra}" is one argument too many. Usage: ${usageLine(command)}`)
  }
  for (const name of command.needs) {
    if (values.has(name)) continue
    const option = command.options.find(each => each.name === name)
    throw new UsageError(`--${name} ${option?.value ?? ''} is missing. Usage: ${usageLine(command)}`)
  }
}

function countOf(name: string, text: string | undefined, usual: number, least: number, most: number): number {
  if (text === undefined) return usual
  const count = /^\d+$/.test(text) ? Number(text) : Number.NaN
  if (count >= least && count <= most) return count
  throw new UsageError(`--${name} should be a whole number from ${least} to ${most}, but is "${text}".`)
}

/** "attemper rehearse PLAN --vessel FILE --beer FILE [options]" */
export function usageLine(command: Command): string {
  const needed = command.needs.map(name => {
    const option = command.options.find(each => each.name === name)
    return `--${name}${option?.value === undefined ? '' : ` ${option.value}`}`
  })
  const positionals = command.arguments.map(({ name, optional }) => (optional ? `[${name}]` : name))
  const words = ['attemper', command.name, ...positionals, ...needed]
  return `${words.join(' ')} [options]`
}
